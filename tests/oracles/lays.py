"""What GEOS says of lays: the largest area that two pieces share, how far any reaches out of the cloth, the largest area
that lies on a flaw or the border, and how far a grain line of any runs across the cloth, or back where the cloth is one-way.

python lays.py FILE, a list of lays: {"length", "width", "cuts": [[[x, y], ...], ...], "flaws": [...], "grains": [[[x, y],
[x, y]], ...], "one_way"}
"""

import json
import sys

from shapely.geometry import LineString, Polygon

with open(sys.argv[1]) as file:
    lays = json.load(file)


def judged(lay):
    cuts = [Polygon(ring) for ring in lay["cuts"]]
    flaws = [Polygon(ring) for ring in lay["flaws"]]
    grains = [LineString(grain).coords for grain in lay["grains"]]
    off_grain = [
        max(abs(y1 - y0), x0 - x1 if lay["one_way"] else 0.0) for (x0, y0), (x1, y1) in grains
    ]
    pairs = [(a, b) for i, a in enumerate(cuts) for b in cuts[i + 1 :]]
    outside = [
        max(-x0, -y0, x1 - lay["length"], y1 - lay["width"])
        for x0, y0, x1, y1 in (cut.bounds for cut in cuts)
    ]
    return {
        "valid": all(cut.is_valid for cut in cuts),
        "area_mm2": sum(cut.area for cut in cuts),
        "shared_mm2": max((a.intersection(b).area for a, b in pairs), default=0.0),
        "outside_mm": max(outside),
        "off_grain_mm": max(off_grain),
        "flawed_mm2": max((cut.intersection(flaw).area for cut in cuts for flaw in flaws), default=0.0),
    }


print(json.dumps([judged(lay) for lay in lays]))
