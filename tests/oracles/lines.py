"""Where straight lines lie in a thrown picture, measured against mathematics in double precision.

Reads a job (JSON) on stdin and writes what it measured (JSON) to stdout. The picture comes as raw bytes, one a pixel
(the green channel, sRGB-encoded). Nothing of the program under test is used: the homography and the radial lens are
written here again, and the share of a pixel inside a straight edge comes from another formula than the program's,
the twice-integrated product of two boxes.

A stretch is about 40 px of a line, kept clear of its ends. In each, the shift and the width are fitted that best
explain the pixels in linear light under exact area coverage. A raw centroid of light would not do: even a perfect
picture moves it by up to 1/(8 w) px, w being the width in px, because a pixel keeps its light but not its moment.
"""

import json
import sys

import numpy as np

STRETCH_PX = 40.0
CLEAR_PX = 24.0
# Pixels this far beyond a line's edges are looked at too: they must be dark.
REACH_PX = 2.5


def thrown(table, mm):
    h = np.array(table["homography"])
    u, v, w = h @ np.vstack([mm.T, np.ones(len(mm))])
    assert np.all(w > 0)
    ideal = np.column_stack([u / w, v / w])
    centre = np.array(table["centre"])
    s = np.hypot(*table["picture"]) / 2
    q = (ideal - centre) / s
    r2 = np.sum(q * q, axis=1, keepdims=True)
    return centre + s * q * (1 + table["k1"] * r2 + table["k2"] * r2 * r2)


def share(inside, normal):
    """Part of a unit square within a half-plane whose edge lies `inside` px beyond the square's centre."""
    a = np.maximum(np.abs(normal[:, 0]), 1e-6)
    b = np.maximum(np.abs(normal[:, 1]), 1e-6)

    def ramp(x):
        return np.maximum(x, 0.0) ** 2

    total = ramp(inside + (a + b) / 2) - ramp(inside + (a - b) / 2) - ramp(inside - (a - b) / 2)
    return (total + ramp(inside - (a + b) / 2)) / (2 * a * b)


def edge_distance(table, start, along, p, t):
    """Signed distance of pixel centres from a thrown edge and its normal; `t` (mm along) is a first guess."""
    h = 1e-3
    for _ in range(8):
        e = thrown(table, start + t[:, None] * along)
        ahead = thrown(table, start + (t + h)[:, None] * along)
        d = (ahead - thrown(table, start + (t - h)[:, None] * along)) / (2 * h)
        t = t + np.sum((p - e) * d, axis=1) / np.sum(d * d, axis=1)
    n = np.column_stack([-d[:, 1], d[:, 0]]) / np.linalg.norm(d, axis=1, keepdims=True)
    return np.sum((p - e) * n, axis=1), n


def linear(byte):
    c = byte / 255.0
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def fit(seen, model):
    """Shift and extra width, px, that explain the pixels best (Gauss-Newton)."""
    found = np.zeros(2)
    e = 1e-4
    for _ in range(12):
        by_shift = (model(found[0] + e, found[1]) - model(found[0] - e, found[1])) / (2 * e)
        by_width = (model(found[0], found[1] + e) - model(found[0], found[1] - e)) / (2 * e)
        j = np.column_stack([by_shift, by_width])
        step = np.linalg.lstsq(j, seen - model(*found), rcond=None)[0]
        found = found + step
        if np.abs(step).max() < 1e-9:
            break
    return found


def rise(inside, seen):
    """Distance over which an edge rises from 10 to 90 %; 0 where there are too few pixels to tell."""
    bins = np.arange(-2.0, 2.01, 0.125)
    which = np.digitize(inside, bins)
    counts = np.bincount(which, minlength=len(bins) + 1)[1:-1]
    if len(seen) == 0 or counts.min() == 0:
        return 0.0
    mean = np.bincount(which, weights=seen, minlength=len(bins) + 1)[1:-1] / counts
    middle = (bins[:-1] + bins[1:]) / 2
    mean = np.maximum.accumulate(mean)
    return float(np.interp(0.9, mean, middle) - np.interp(0.1, mean, middle))


def measure_stretch(table, light, line, ends, inner):
    """One stretch, between `ends` (mm along the line); `inner` holds thrown points of its middle line."""
    a, along, across, half = line
    middle = a + np.mean(ends) * along
    edges = thrown(table, np.array([middle + half * across, middle - half * across]))
    width_px = np.linalg.norm(edges[0] - edges[1])
    reach = width_px / 2 + REACH_PX
    x0, y0 = np.floor(inner.min(axis=0) - reach).astype(int)
    x1, y1 = np.ceil(inner.max(axis=0) + reach).astype(int)
    height, width = light.shape
    if x0 < 0 or y0 < 0 or x1 >= width or y1 >= height:
        return None
    ys, xs = np.mgrid[y0 : y1 + 1, x0 : x1 + 1]
    p = np.column_stack([xs.ravel() + 0.5, ys.ravel() + 0.5])
    seen = light[y0 : y1 + 1, x0 : x1 + 1].ravel()
    chord = inner[-1] - inner[0]
    length = np.linalg.norm(chord)
    unit = chord / length
    on = (p - inner[0]) @ unit
    off = np.abs((p - inner[0]) @ np.array([-unit[1], unit[0]]))
    keep = (on >= 0) & (on <= length) & (off <= reach)
    p, seen, on = p[keep], seen[keep], on[keep]
    t = ends[0] + (ends[1] - ends[0]) * on / length
    left, left_normal = edge_distance(table, a + half * across, along, p, t.copy())
    right, right_normal = edge_distance(table, a - half * across, along, p, t.copy())
    # Count both along the normal that points from the left edge to the right one.
    sense = 1.0 if np.mean(right - left) > 0 else -1.0
    left, right = sense * left, sense * right

    def model(shift, extra):
        return share(-left + shift + extra / 2, left_normal) + share(right - shift + extra / 2, right_normal) - 1

    shift, extra = fit(seen, model)
    # 10 to 90 % rise of the left edge, from the pixels' light by their distance to it.
    inner = (right > width_px / 2) if width_px > 4 else np.zeros(len(p), dtype=bool)
    exact = model(0.0, 0.0)
    return {
        "shift_px": float(shift),
        "width": float(extra / width_px),
        "width_px": float(width_px),
        "share": float(np.abs(seen - exact).max()),
        "brightness": float(seen.sum() / exact.sum() - 1),
        "rise_px": rise(-left[inner], seen[inner]),
    }


def measure_line(table, light, line):
    a, b = np.array(line["from"]), np.array(line["to"])
    length = np.linalg.norm(b - a)
    along = (b - a) / length
    across = np.array([-along[1], along[0]])
    ts = np.linspace(0, length, 2001)
    path = thrown(table, a + ts[:, None] * along)
    run = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    count = int((run[-1] - 2 * CLEAR_PX) // STRETCH_PX)
    cuts = np.linspace(CLEAR_PX, run[-1] - CLEAR_PX, count + 1) if count > 0 else []
    found = []
    for lo, hi in zip(cuts[:-1], cuts[1:]):
        inner = path[(run >= lo) & (run <= hi)]
        ends = np.interp([lo, hi], run, ts)
        one = measure_stretch(table, light, (a, along, across, line["width"] / 2), ends, inner)
        if one is not None:
            found.append(one)
    return found


def main():
    job = json.load(sys.stdin)
    width, height = job["table"]["picture"]
    with open(job["pixels"], "rb") as file:
        raw = np.frombuffer(file.read(), dtype=np.uint8).reshape(height, width)
    light = linear(raw.astype(float))
    if job.get("dark"):
        light = 1.0 - light
    json.dump([measure_line(job["table"], light, line) for line in job["lines"]], sys.stdout)


if __name__ == "__main__":
    main()
