"""Homographies of four corners by OpenCV's getPerspectiveTransform: from the pixels of a photo to mm on the cloth."""

import cv2
import numpy as np
from oracle import keep

# Corners in the photo (lower left, lower right, upper right, upper left), size along and across, place of the first corner.
CASES = [
    ([[60, 420], [580, 430], [500, 60], [130, 70]], [600, 400], [0, 0]),
    ([[200, 380], [430, 350], [410, 190], [215, 200]], [297, 210], [850, 320]),
    ([[320, 470], [620, 240], [330, 20], [20, 230]], [500, 500], [0, 130]),
]

cases = []
for corners, (along, across), at in CASES:
    mm = np.array([[0, 0], [along, 0], [along, across], [0, across]], np.float32) + np.array(at, np.float32)
    found = cv2.getPerspectiveTransform(np.array(corners, np.float32), mm)
    cases.append({"corners": corners, "size": [along, across], "at": at, "mm_from_px": found.tolist()})
keep(__file__, {"opencv": cv2.__version__, "cases": cases})
