"""Lengths, areas, allowances and splines of drafted pieces by scipy and GEOS, from the Bezier points in drafts.json.

Lengths: scipy.integrate.quad of the speed of each cubic. Areas: shapely (GEOS) polygons of 2,000 points a cubic.
Parallels: points set out along the normal, kept where GEOS says that nothing of the edge is nearer. Cut outlines of
one allowance all round: GEOS's mitred buffer of the unfolded piece. Armholes: scipy's clamped CubicSpline through the
draft's points. Monotone slopes: scipy's PchipInterpolator (Fritsch and Butland 1984).
"""

import json
import pathlib

import numpy as np
import scipy
import shapely
from oracle import keep
from scipy.integrate import quad
from scipy.interpolate import CubicSpline, PchipInterpolator
from shapely.geometry import LineString, Point, Polygon

STEPS = 2000


def at(part, t):
    p0, p1, p2, p3 = (np.array(p) for p in part)
    t = np.asarray(t, float)[..., None]
    return (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3


def speed(part, t):
    p0, p1, p2, p3 = (np.array(p) for p in part)
    return 3 * ((1 - t) ** 2 * (p1 - p0) + 2 * (1 - t) * t * (p2 - p1) + t**2 * (p3 - p2))


def length(part):
    return quad(lambda t: np.hypot(*speed(part, t)), 0, 1, epsabs=1e-11, epsrel=1e-11, limit=200)[0]


def dense(edge):
    return np.vstack([at(part, np.linspace(0, 1, STEPS)) for part in edge["parts"]])


def parallel(edge):
    """Points beside the edge at its allowance (outside is to the right of the way, y down), where none is nearer."""
    by, line = edge["allowance_mm"], LineString(dense(edge))
    points = []
    for part in edge["parts"]:
        for t in np.linspace(0.04, 0.96, 9):
            x, y = speed(part, t) / np.hypot(*speed(part, t))
            point = at(part, t) + by * np.array([-y, x])
            if line.distance(Point(point)) > by - 1e-3:
                points.append(point.tolist())
    return points


def mitred(piece):
    """Area and boundary points of the unfolded piece with its one allowance all round, by GEOS; the half at x > 0."""
    by = max(edge["allowance_mm"] for edge in piece["edges"])
    half = np.vstack([dense(edge) for edge in piece["edges"] if edge["name"] != "fold"])
    whole = Polygon(np.vstack([half, half[::-1] * [-1, 1]])).buffer(0)
    out = whole.buffer(by, join_style="mitre", mitre_limit=5.0)
    border = out.exterior
    points = [border.interpolate(share, normalized=True) for share in np.linspace(0, 1, 241)[:-1]]
    return {
        "half_area_mm2": out.area / 2,
        "border": [[p.x, p.y] for p in points if p.x > 1.0],
    }


def swings(spline):
    """How often the spline changes the side that it bends to: where the cross product of its derivatives is nought."""
    signs = []
    for i, h in enumerate(np.diff(spline.x)):
        first, second = (np.array([np.polyder(spline.c[:, i, axis], order) for axis in (0, 1)]) for order in (1, 2))
        # The cubes cancel.
        bend = np.polysub(np.polymul(first[0], second[1]), np.polymul(first[1], second[0]))[1:]
        inner = sorted(r.real for r in np.roots(bend) if abs(r.imag) < 1e-12 and 0 < r.real < h)
        cuts = [0, *inner, h]
        signs += [np.sign(np.polyval(bend, (a + b) / 2)) for a, b in zip(cuts, cuts[1:])]
    return sum(a * b < 0 for a, b in zip(signs, signs[1:]))


def armhole(piece):
    """The clamped cubic spline from the underarm through the guide to the tip, as Bezier points. The guide lies by the hollow
    inside of the middle; where the curve would swing more than once, by the least that leaves it one swing."""
    armhole, side, shoulder = (next(e for e in piece["edges"] if e["name"] == n) for n in ("armhole", "side", "shoulder"))
    underarm, tip = np.array(armhole["parts"][0][0]), np.array(armhole["parts"][-1][3])
    middle = np.array([tip[0], (tip[1] + underarm[1]) / 2])
    up_side = speed(side["parts"][-1], 1.0)
    along_shoulder = speed(shoulder["parts"][0], 0.0)
    inward = np.array([up_side[1], -up_side[0]]) / np.hypot(*up_side)
    upward = np.array([-along_shoulder[1], along_shoulder[0]]) / np.hypot(*along_shoulder)
    upward = upward if upward[1] < 0 else -upward
    inward = inward if inward[0] < 0 else -inward
    knots = np.cumsum([0, np.hypot(*(underarm - middle)), np.hypot(*(middle - tip))])

    def through(hollow):
        points = [underarm, middle - [hollow, 0], tip]
        return CubicSpline(knots, points, bc_type=((1, inward), (1, upward)))

    low, high = piece["hollow_mm"]
    if swings(through(low)) > 1:
        for _ in range(60):
            half = (low + high) / 2
            low, high = (half, high) if swings(through(half)) > 1 else (low, half)
        low = high
    spline = through(low)
    points, slope = spline(knots), spline.derivative()(knots)
    spans = np.diff(knots)
    return [
        [p.tolist() for p in (a, a + ma * h / 3, b - mb * h / 3, b)]
        for a, ma, b, mb, h in zip(points, slope, points[1:], slope[1:], spans)
    ]


def measured(piece):
    polygon = Polygon(np.vstack([dense(edge) for edge in piece["edges"]]))
    answer = {
        "name": piece["name"],
        "valid": bool(polygon.is_valid),
        "area_mm2": polygon.area,
        "armhole": armhole(piece),
        "edges": [
            {"name": e["name"], "length_mm": sum(map(length, e["parts"])), "parallel": parallel(e)}
            for e in piece["edges"]
        ],
    }
    allowances = {e["allowance_mm"] for e in piece["edges"] if e["name"] != "fold"}
    if len(allowances) == 1:
        answer["mitred"] = mitred(piece)
    return answer


MONOTONE = [[240.0, 200.0], [260.0, 330.0], [330.0, 415.0], [337.0, 600.0], [402.0, 655.0], [405.0, 1200.0]]

drafts = json.loads(pathlib.Path(__file__).with_name("drafts.json").read_text())
x, y = np.array(MONOTONE).T
keep(
    __file__,
    {
        "scipy": scipy.__version__,
        "geos": shapely.geos_version_string,
        "cases": [{"name": case["name"], "pieces": [measured(p) for p in case["pieces"]]} for case in drafts["cases"]],
        "monotone": {"points": MONOTONE, "slopes": PchipInterpolator(y, x).derivative()(y)[1:-2].tolist()},
    },
)
