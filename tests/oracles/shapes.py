"""The share of every pixel that strokes with ends and corners, and areas with holes, cover in a thrown picture.

Reads a job (JSON) on stdin and writes, for each shape, the largest and the root-mean-square error over the pixels that
it touches. The truth is a count: 1,024 points of a low-discrepancy sequence in each pixel (Roberts's R2 sequence,
from the generalised golden ratio) are taken back to the table in double precision and asked whether they lie within
half a width of the line, or inside the rings by the even-odd or nonzero rule. Its own error is about 0.001. Nothing of
the program under test is used.
"""

import json
import sys

import numpy as np

POINTS = 1024
MARGIN_PX = 2


def thrown(table, mm):
    h = np.array(table["homography"])
    u, v, w = h @ np.vstack([mm.T, np.ones(len(mm))])
    ideal = np.column_stack([u / w, v / w])
    centre = np.array(table["centre"])
    s = np.hypot(*table["picture"]) / 2
    q = (ideal - centre) / s
    r2 = np.sum(q * q, axis=1, keepdims=True)
    return centre + s * q * (1 + table["k1"] * r2 + table["k2"] * r2 * r2)


def laid(table, px):
    """The table point of each picture point."""
    centre = np.array(table["centre"])
    s = np.hypot(*table["picture"]) / 2
    d = (px - centre) / s
    q = d.copy()
    for _ in range(40):
        r2 = np.sum(q * q, axis=1, keepdims=True)
        q = d / (1 + table["k1"] * r2 + table["k2"] * r2 * r2)
    ideal = centre + s * q
    back = np.linalg.inv(np.array(table["homography"]))
    x, y, w = back @ np.vstack([ideal.T, np.ones(len(ideal))])
    return np.column_stack([x / w, y / w])


def on_stroke(points, p, closed, width):
    pairs = list(zip(points[:-1], points[1:]))
    if closed:
        pairs.append((points[-1], points[0]))
    near = np.full(len(p), np.inf)
    for a, b in pairs:
        d = b - a
        t = np.clip((p - a) @ d / max(d @ d, 1e-300), 0, 1)
        near = np.minimum(near, np.sum((p - a - t[:, None] * d) ** 2, axis=1))
    return near <= (width / 2) ** 2


def in_area(rings, p, rule):
    winding = np.zeros(len(p), dtype=int)
    for ring in rings:
        for a, b in zip(ring, np.roll(ring, -1, axis=0)):
            up = (a[1] <= p[:, 1]) & (b[1] > p[:, 1])
            down = (a[1] > p[:, 1]) & (b[1] <= p[:, 1])
            side = (b[0] - a[0]) * (p[:, 1] - a[1]) - (p[:, 0] - a[0]) * (b[1] - a[1])
            winding += (up & (side > 0)).astype(int) - (down & (side < 0)).astype(int)
    return winding % 2 == 1 if rule == "evenodd" else winding != 0


def linear(byte):
    c = byte / 255.0
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def samples():
    g = 1.32471795724474602596
    n = np.arange(1, POINTS + 1)
    return np.column_stack([(0.5 + n / g) % 1, (0.5 + n / g**2) % 1])


def check(table, light, shape):
    rings = [np.array(r, dtype=float) for r in shape["rings"]]
    # Edges are thrown finely, so that the window holds the bowed outline too.
    edges = [(a, b) for r in rings for a, b in zip(r, np.roll(r, -1, axis=0))]
    along = np.vstack([thrown(table, a + (b - a) * np.linspace(0, 1, 20)[:, None]) for a, b in edges])
    width = shape.get("width", 0.0)
    h = np.hypot(*(thrown(table, rings[0][:1] + [1.0, 0.0]) - thrown(table, rings[0][:1]))[0])
    reach = MARGIN_PX + width * h
    x0, y0 = np.maximum(np.floor(along.min(axis=0) - reach).astype(int), 0)
    height, wide = light.shape
    x1, y1 = np.minimum(np.ceil(along.max(axis=0) + reach).astype(int), [wide, height])
    def share_of(corners, grid):
        p = laid(table, (corners[:, None, :] + grid[None]).reshape(-1, 2))
        if shape["kind"] == "stroke":
            hit = on_stroke(rings[0], p, shape["closed"], width)
        else:
            hit = in_area(rings, p, shape["rule"])
        return hit.reshape(-1, len(grid)).mean(axis=1)

    ys, xs = np.mgrid[y0:y1, x0:x1]
    corners = np.column_stack([xs.ravel(), ys.ravel()])
    seen = light[y0:y1, x0:x1].ravel()
    # A coarse count first: most pixels are plainly dark or plainly lit, in truth and in the picture.
    exact = share_of(corners, (np.mgrid[0:4, 0:4].reshape(2, -1).T) / 3)
    doubtful = ((exact > 0) & (exact < 1)) | (np.abs(exact - seen) > 0.002)
    exact[doubtful] = share_of(corners[doubtful], samples())
    error = np.abs(seen - exact)
    k = int(error.argmax())
    worst, at = float(error[k]), [int(corners[k, 0]), int(corners[k, 1]), float(exact[k]), float(seen[k])]
    total, count = float((error[doubtful] ** 2).sum()), int(doubtful.sum())
    return {"worst": worst, "rms": float(np.sqrt(total / max(count, 1))), "pixels": count, "at": at}


def main():
    job = json.load(sys.stdin)
    width, height = job["table"]["picture"]
    with open(job["pixels"], "rb") as file:
        raw = np.frombuffer(file.read(), dtype=np.uint8).reshape(height, width)
    light = linear(raw.astype(float))
    if job.get("dark"):
        light = 1.0 - light
    json.dump([check(job["table"], light, shape) for shape in job["shapes"]], sys.stdout)


if __name__ == "__main__":
    main()
