"""What GEOS says of lays: the largest area that two pieces share, how far any reaches out of the cloth, and the largest
area that lies on a flaw.

python lays.py FILE, a list of lays: {"length", "width", "cuts": [[[x, y], ...], ...], "flaws": [...]}
"""

import json
import sys

from shapely.geometry import Polygon

with open(sys.argv[1]) as file:
    lays = json.load(file)


def judged(lay):
    cuts = [Polygon(ring) for ring in lay["cuts"]]
    flaws = [Polygon(ring) for ring in lay["flaws"]]
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
        "flawed_mm2": max((cut.intersection(flaw).area for cut in cuts for flaw in flaws), default=0.0),
    }


print(json.dumps([judged(lay) for lay in lays]))
