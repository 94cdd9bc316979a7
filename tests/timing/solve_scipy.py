"""The same calibration by SciPy, for tests/timing/solve.rs: five lens models with priors, their evidence by Laplace's
approximation, the averaged points and their spread on the same lattice. Misreadings are not looked for.

Reads {"size", "sigma", "readings": [[px x, px y, mm x, mm y]]} from stdin; prints the best of five times in seconds and the
averaged point of the picture's middle."""

import json
import sys
import time

import numpy as np
from scipy.optimize import least_squares

given = json.load(sys.stdin)
w, h = given["size"]
s = np.hypot(w, h) / 2
data = np.array(given["readings"])
q, mm = (data[:, :2] - [w / 2, h / 2]) / s, data[:, 2:]
PRIOR_SD = np.array([0.05, 0.02, 0.12, 0.12])
MODELS = [[], [0], [0, 1], [0, 2, 3], [0, 1, 2, 3]]
lattice = (np.array([[w * j / 12, h * i / 8] for i in range(9) for j in range(13)]) - [w / 2, h / 2]) / s


def sight(u, q):
    k1, k2, cx, cy = u[8:]
    d = q - [cx, cy]
    rho = np.hypot(*d.T)
    r = rho.copy()
    for _ in range(6):
        r = r - (r * (1 + k1 * r**2 + k2 * r**4) - rho) / (1 + 3 * k1 * r**2 + 5 * k2 * r**4)
    e = [cx, cy] + d * np.where(rho > 0, r / np.where(rho > 0, rho, 1), 1)[:, None]
    n = e @ u[:6].reshape(2, 3)[:, :2].T + u[[2, 5]]
    return n / (1 + e @ u[6:8])[:, None]


def solve():
    a = np.zeros((2 * len(q), 8))
    a[0::2, :3] = np.column_stack([q, np.ones(len(q))])
    a[1::2, 3:6] = a[0::2, :3]
    a[:, 6:] = -np.repeat(q, 2, 0) * mm.ravel()[:, None]
    start = np.append(np.linalg.lstsq(a, mm.ravel(), rcond=None)[0], np.zeros(4))
    evidence, points, spreads = [], [], []
    for terms in MODELS:
        free = np.array([*range(8), *(8 + np.array(terms, int))])
        sd = PRIOR_SD[terms]

        def off(x):
            u = start.copy()
            u[free] = x
            return np.append(((sight(u, q) - mm) / given["sigma"]).ravel(), x[8:] / sd)

        fit = least_squares(off, start[free], method="lm", x_scale="jac")
        normal = fit.jac.T @ fit.jac
        evidence.append(-fit.cost - 0.5 * np.linalg.slogdet(normal)[1] - np.log(sd).sum())
        u = start.copy()
        u[free] = fit.x
        at = sight(u, lattice)
        steps = 1e-6 * np.maximum(1, np.abs(fit.x))
        by = []
        for k, step in zip(free, steps):
            moved = u.copy()
            moved[k] += step
            by.append((sight(moved, lattice) - at) / step)
        by = np.array(by)
        covariance = np.linalg.inv(normal)
        points.append(at)
        spreads.append(np.einsum("kla,km,mlb->lab", by, covariance, by))
    weights = np.exp(np.array(evidence) - max(evidence))
    weights /= weights.sum()
    mean = np.tensordot(weights, points, 1)
    gap = np.array(points) - mean
    spread = np.tensordot(weights, np.array(spreads) + np.einsum("mla,mlb->mlab", gap, gap), 1)
    return mean, spread


times = []
for _ in range(5):
    began = time.perf_counter()
    mean, _ = solve()
    times.append(time.perf_counter() - began)
print(min(times), *mean[len(lattice) // 2])
