"""A point fixed by distances from three known stations, the trilateration of any surveying text (e.g. Ghilani, *Adjustment
Computations*, 5th ed. 2010, chapter 14; the figures here are our own). Least squares with cofactors by SciPy."""

import numpy as np
from oracle import keep
from scipy.optimize import least_squares

STATIONS = np.array([[0.0, 0.0], [1500.0, 20.0], [1480.0, 860.0]])
DISTANCES = np.array([841.0, 1683.0, 1449.5])

fit = least_squares(
    lambda u: np.hypot(*(u - STATIONS).T) - DISTANCES, [30.0, 840.0], xtol=1e-15, ftol=1e-15, gtol=1e-15, method="lm"
)
q = np.linalg.inv(fit.jac.T @ fit.jac)
keep(
    __file__,
    {
        "stations": STATIONS.tolist(),
        "distances": DISTANCES.tolist(),
        "point": fit.x.tolist(),
        "sum_of_squares": float(fit.fun @ fit.fun),
        "cofactors": q.tolist(),
    },
)
