"""Tables with a lens, read on a mat, and how far off three general-purpose fits are: OpenCV's findHomography (no lens), OpenCV's
calibrateCamera from one view (focal length and lens, in pixels), and SciPy's least squares of a homography with k1, k2 and the
lens centre (no priors). Readings have 0.5 mm of noise and are rounded to half a millimetre; errors are rms over 100 probes, in the
middle of each cell of ten by ten, column by column."""

import cv2
import numpy as np
from oracle import keep
from projector import Projector, grid
from scipy.optimize import least_squares

SIGMA = 0.5
SIZE = (1920, 1080)


def undo(px, lens, middle, s):
    k1, k2, cx, cy = lens
    centre = middle + s * np.array([cx, cy])
    d = (px - centre) / s
    rho = np.hypot(*d.T)
    r = rho.copy()
    for _ in range(30):
        r = r - (r * (1 + k1 * r**2 + k2 * r**4) - rho) / (1 + 3 * k1 * r**2 + 5 * k2 * r**4)
    return centre + s * d * np.where(rho > 0, r / np.where(rho > 0, rho, 1), 1)[:, None]


def through(h, px):
    m = np.column_stack([px, np.ones(len(px))]) @ h.T
    return m[:, :2] / m[:, 2:]


def scipy_fit(px, mm, start):
    middle, s = np.array(SIZE) / 2, np.hypot(*SIZE) / 2
    scale = np.abs(np.append(start.ravel()[:8], [0.05, 0.05, 0.1, 0.1]))
    scale[scale == 0] = 1

    def off(u):
        h = np.append(u[:8] * scale[:8], 1).reshape(3, 3)
        return (through(h, undo(px, u[8:] * scale[8:], middle, s)) - mm).ravel()

    fit = least_squares(off, np.append(start.ravel()[:8] / scale[:8], [0, 0, 0, 0]), method="lm", max_nfev=20000)
    u = fit.x * scale
    return lambda p: through(np.append(u[:8], 1).reshape(3, 3), undo(p, u[8:], middle, s))


def camera_fit(px, mm):
    flags = cv2.CALIB_FIX_K3 | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_ASPECT_RATIO | cv2.CALIB_USE_INTRINSIC_GUESS
    guess = np.array([[2400.0, 0, SIZE[0] / 2], [0, 2400.0, SIZE[1] / 2], [0, 0, 1]])
    plane = np.column_stack([mm, np.zeros(len(mm))]).astype(np.float32)
    try:
        _, camera, lens, turns, moves = cv2.calibrateCamera(
            [plane], [px.astype(np.float32)], SIZE, guess, np.zeros(5), flags=flags
        )
    except cv2.error:
        return None
    turn, _ = cv2.Rodrigues(turns[0])
    h = np.column_stack([turn[:, 0], turn[:, 1], moves[0].ravel()])

    def back(p):
        ideal = cv2.undistortPoints(p.reshape(-1, 1, 2), camera, lens).reshape(-1, 2)
        return through(np.linalg.inv(h), ideal)

    return back


cases = []
for seed in range(40):
    rng = np.random.default_rng(3000 + seed)
    columns, rows = [(5, 3), (7, 5), (9, 6), (3, 3)][seed % 4]
    k1 = 0.0 if seed % 2 else rng.uniform(-0.08, 0.08)
    lens = (k1, 0.0, *(rng.normal(0, 0.05, 2) if k1 else (0.0, 0.0)))
    thrower = Projector(
        SIZE,
        rng.uniform(1500, 3000),
        rng.uniform(1.1, 1.6),
        rng.uniform(0, np.radians(30)),
        yaw=rng.uniform(-0.2, 0.2),
        roll=rng.uniform(-0.05, 0.05),
        shift=rng.uniform(-0.3, 0.3),
        lens=lens,
    )
    marks = grid(SIZE, columns, rows)
    px = np.array(list(marks.values()))
    mm = np.round((thrower.mm(px) + rng.normal(0, SIGMA, px.shape)) * 2) / 2
    probes = np.array([[SIZE[0] * (i + 0.5) / 10, SIZE[1] * (j + 0.5) / 10] for i in range(10) for j in range(10)])
    truth = thrower.mm(probes)
    rms = lambda back: None if back is None else float(np.sqrt(((back(probes) - truth) ** 2).sum(1).mean()))
    bare, _ = cv2.findHomography(px, mm, 0)
    cases.append(
        {
            "size": SIZE,
            "columns": columns,
            "rows": rows,
            "sigma": SIGMA,
            "k1": k1,
            "readings": [{"mark": name, "at": at} for name, at in zip(marks, mm.tolist())],
            "truth_mm": np.round(truth, 3).tolist(),
            "bare_rms_mm": rms(lambda p: through(bare, p)),
            "camera_rms_mm": rms(camera_fit(px, mm)),
            "full_rms_mm": rms(scipy_fit(px, mm, bare / bare[2, 2])),
        }
    )
keep(__file__, {"opencv": cv2.__version__, "cases": cases}, tolerance=1e-3)
for name in ["bare", "camera", "full"]:
    values = [c[f"{name}_rms_mm"] for c in cases if c[f"{name}_rms_mm"] is not None]
    print(name, len(values), np.sqrt(np.mean(np.square(values))), np.median(values))
