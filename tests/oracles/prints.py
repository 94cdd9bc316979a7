"""Prints drawn by NumPy and read by SciPy: windowed, autocorrelated in nothing, and the first clear peak of each axis
refined to the period whose harmonics explain most of the picture (least squares, SciPy's bounded minimiser).

Each print is a sum of the harmonics that its lattice allows, so that the test can draw the same one without a file: the
value at x, y is 0.5 + the sum of a * cos(2 pi (h x / along + k y / across) + phase). Of a half-drop h + k is even.
"""

import numpy as np
from oracle import keep
from scipy import ndimage, optimize, signal

SIZE = (300, 240)
MM = 1.25  # of a pixel


def harmonics(rng, half_drop):
    terms = []
    for h in range(0, 5):
        for k in range(-4, 5):
            if (h, k) <= (0, 0) or (half_drop and (h + k) % 2):
                continue
            terms.append([h, k, rng.normal() * np.exp(-0.12 * (h * h + k * k)), rng.uniform(0, 2 * np.pi)])
    return terms


def drawn(terms, along, across):
    x, y = np.meshgrid((np.arange(SIZE[0]) + 0.5) * MM, (np.arange(SIZE[1]) + 0.5) * MM)
    value = sum(a * np.cos(2 * np.pi * (h * x / along + k * y / across) + p) for h, k, a, p in terms)
    return value - value.mean()


def repeat(picture):
    """The repeat on each axis, by a plain autocorrelation divided by that of its window."""
    window = np.outer(np.hanning(picture.shape[0]), np.hanning(picture.shape[1]))
    whole = signal.fftconvolve(picture * window, (picture * window)[::-1, ::-1])
    weight = signal.fftconvolve(window, window[::-1, ::-1])
    like = np.where(weight > 0.01 * weight.max(), whole / np.maximum(weight, 1e-9), 0)
    like = ndimage.gaussian_filter(like, 0.5)
    cy, cx = picture.shape[0] - 1, picture.shape[1] - 1
    found = []
    for line in (like[cy, cx:], like[cy:, cx]):
        top = line[0]
        peaks = [i for i in range(6, len(line) - 1) if line[i - 1] <= line[i] > line[i + 1] and line[i] > 0.9 * top]
        first = peaks[0]
        axis = 1 - len(found)
        lines = picture if axis == 1 else picture.T
        at = np.arange(lines.shape[1]) + 0.5

        def unexplained(period):
            waves = [f(2 * np.pi * h * at / period) for h in range(1, 5) for f in (np.cos, np.sin)]
            basis, _ = np.linalg.qr(np.stack([np.ones_like(at), *waves], axis=1))
            return (lines**2).sum() - ((lines @ basis) ** 2).sum()

        near = (0.95 * first, 1.05 * first)
        best = optimize.minimize_scalar(unexplained, bounds=near, method="bounded", options={"xatol": 1e-7}).x
        found.append(best * MM)
    return found


rng = np.random.default_rng(7)
cases = []
for along, across, half_drop in [(83.0, 61.0, False), (120.0, 97.0, True), (64.5, 110.0, True), (140.0, 118.0, False)]:
    terms = harmonics(rng, half_drop)
    found = repeat(drawn(terms, along, across))
    cases.append({"along": along, "across": across, "half_drop": half_drop, "terms": terms, "found": found})
keep(__file__, {"size": SIZE, "mm": MM, "cases": cases}, tolerance=1e-5)
