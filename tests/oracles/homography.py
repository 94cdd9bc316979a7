"""Homographies from noisy readings by OpenCV's findHomography (method 0: least squares of the transfer error in the second
points, here mm, refined by Levenberg-Marquardt): probes on the table and the pixels that light them by its answer."""

import cv2
import numpy as np
from oracle import keep
from projector import Projector, grid

CASES = [
    ((1920, 1080), 5, 3, 0.0, 0.5),
    ((1920, 1080), 5, 3, 0.21, 0.5),
    ((1920, 1080), 2, 2, 0.3, 1.0),
    ((1280, 800), 3, 3, 0.52, 1.0),
    ((3840, 2160), 9, 6, 0.35, 0.3),
    ((1920, 1080), 7, 5, 0.6, 2.0),
]

cases = []
for seed, (size, columns, rows, tilt, sigma) in enumerate(CASES):
    rng = np.random.default_rng(1000 + seed)
    thrower = Projector(size, rng.uniform(1500, 3000), 1.2, tilt, yaw=rng.uniform(-0.3, 0.3), roll=rng.uniform(-0.05, 0.05))
    marks = grid(size, columns, rows)
    px = np.array(list(marks.values()))
    mm = thrower.mm(px) + rng.normal(0, sigma, px.shape)
    found, _ = cv2.findHomography(px, mm, 0)
    probes_px = rng.uniform([0, 0], size, (20, 2))
    probes_mm = thrower.mm(probes_px)
    back = np.column_stack([probes_mm, np.ones(len(probes_mm))]) @ np.linalg.inv(found).T
    cases.append(
        {
            "size": size,
            "columns": columns,
            "rows": rows,
            "sigma": sigma,
            "readings": [{"mark": name, "at": at} for name, at in zip(marks, mm.tolist())],
            "probes_mm": probes_mm.tolist(),
            "probes_px": (back[:, :2] / back[:, 2:]).tolist(),
        }
    )
keep(__file__, {"opencv": cv2.__version__, "cases": cases})
