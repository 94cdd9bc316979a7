"""Four corner marks and the six distances among them, which surveyors call a braced quadrilateral: eight coordinates less
the three of a plane's gauge are five freedoms, as many as a homography has beside its own gauge. So a table solved from six
distances is this free network, and its adjusted distances, residuals and standard deviations must be the same.

The adjustment is GTSAM's, a general-purpose library for networks of measurements: Levenberg-Marquardt, and the covariance
by elimination of its factor graph. It knows nothing of homographies."""

import itertools

import gtsam
import numpy as np
from oracle import keep

SIGMA = 0.5
# Clockwise from the top left corner of the picture, row A being the far edge; a level table, roughly. Figures of our own.
NAMES = ["A1", "A5", "C5", "C1"]
NEAR = np.array([[0.0, 0.0], [1370.0, 0.0], [1330.0, -760.0], [30.0, -770.0]])
DISTANCES = {
    ("A1", "A5"): 1373.37,
    ("A1", "C5"): 1532.19,
    ("A1", "C1"): 771.23,
    ("A5", "C5"): 760.61,
    ("A5", "C1"): 1547.42,
    ("C5", "C1"): 1298.84,
}

graph, start = gtsam.NonlinearFactorGraph(), gtsam.Values()
keys = {name: i for i, name in enumerate(NAMES)}
noise = gtsam.noiseModel.Isotropic.Sigma(1, SIGMA)
for (a, b), mm in DISTANCES.items():
    graph.add(gtsam.RangeFactor2(keys[a], keys[b], mm, noise))
for name, at in zip(NAMES, NEAR):
    start.insert(keys[name], gtsam.Point2(*at))
# The gauge: A1 is the origin, A5 lies on the x axis. It bears no load, so its stiffness changes nothing.
STIFF, LOOSE = 1e-4, 1e6
graph.add(gtsam.PriorFactorPoint2(keys["A1"], gtsam.Point2(0, 0), gtsam.noiseModel.Isotropic.Sigma(2, STIFF)))
along = gtsam.noiseModel.Diagonal.Sigmas(np.array([LOOSE, STIFF]))
graph.add(gtsam.PriorFactorPoint2(keys["A5"], gtsam.Point2(*NEAR[1]), along))

params = gtsam.LevenbergMarquardtParams()
params.setRelativeErrorTol(1e-15)
params.setAbsoluteErrorTol(1e-15)
params.setMaxIterations(200)
result = gtsam.LevenbergMarquardtOptimizer(graph, start, params).optimize()
marginals = gtsam.Marginals(graph, result)
at = {name: np.array(result.atPoint2(keys[name])) for name in NAMES}

adjusted = []
for (a, b), mm in DISTANCES.items():
    way = (at[b] - at[a]) / np.linalg.norm(at[b] - at[a])
    joint = marginals.jointMarginalCovariance([keys[a], keys[b]])
    c = np.block([[joint.at(keys[i], keys[j]) for j in (a, b)] for i in (a, b)])
    by = np.concatenate([-way, way])
    length = float(np.linalg.norm(at[b] - at[a]))
    adjusted.append(
        {
            "from": a,
            "to": b,
            "read": mm,
            "adjusted": length,
            "residual": length - mm,
            "sd": float(np.sqrt(by @ c @ by)),
        }
    )
keep(__file__, {"sigma": SIGMA, "chi2": 2 * graph.error(result), "distances": adjusted}, 1e-5)
