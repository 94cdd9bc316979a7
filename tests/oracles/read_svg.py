"""Reads an SVG with svgpathtools and says how long and how large each named path is, in user units.

`python read_svg.py FILE.svg` writes JSON: width, height and viewBox as written, and for each path with an id its length,
its extents [left, top, right, bottom] and the kinds of its segments.
"""

import json
import sys

import svgpathtools


def main():
    paths, attributes, svg = svgpathtools.svg2paths2(sys.argv[1])
    named = {}
    for path, attribute in zip(paths, attributes):
        if "id" in attribute:
            left, right, top, bottom = path.bbox()
            named[attribute["id"]] = {
                "length": path.length(error=1e-7),
                "extents": [left, top, right, bottom],
                "kinds": sorted({type(segment).__name__ for segment in path}),
                "dashes": attribute.get("stroke-dasharray", ""),
                "width": float(attribute.get("stroke-width", 0)),
            }
    json.dump({"width": svg["width"], "height": svg["height"], "viewBox": svg["viewBox"], "paths": named}, sys.stdout)


main()
