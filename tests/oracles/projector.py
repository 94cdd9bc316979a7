"""A pinhole projector with a radial lens over a table, for oracle scripts and sample readings. Independent of the program.

Table mm: x right, y away. Pixel: outer corner of the top-left pixel is 0, 0. The projector hangs `throw_mm` from the table
along its axis, tilted about x by `tilt`, turned about the vertical by `yaw` and about its axis by `roll` (radians).
"""

import numpy as np


def rotation(axis, angle):
    c, s = np.cos(angle), np.sin(angle)
    i, j = [(1, 2), (2, 0), (0, 1)][axis]
    r = np.eye(3)
    r[i, i], r[i, j], r[j, i], r[j, j] = c, -s, s, c
    return r


class Projector:
    def __init__(self, size, throw_mm, ratio, tilt, yaw=0.0, roll=0.0, aim=(750.0, 425.0), shift=0.0, lens=(0, 0, 0, 0)):
        """ratio: throw distance over picture width; shift: lens shift in picture heights; lens: k1, k2, centre in half diagonals."""
        self.w, self.h = size
        self.s = np.hypot(self.w, self.h) / 2
        self.k1, self.k2, self.cx, self.cy = lens
        focal = ratio * self.w
        camera = np.array([[focal, 0, self.w / 2], [0, focal, self.h / 2 + shift * self.h], [0, 0, 1.0]])
        # Looking straight down with the picture's top away from the person: columns are the projector's axes in the table.
        down = np.array([[1.0, 0, 0], [0, -1, 0], [0, 0, -1]])
        axes = rotation(2, yaw) @ rotation(0, tilt) @ down @ rotation(2, roll)
        self.lens_mm = np.array([*aim, 0.0]) - axes[:, 2] * throw_mm
        world = axes.T
        h = camera @ np.column_stack([world[:, 0], world[:, 1], -world @ self.lens_mm])
        self.homography = h / h[2, 2]

    def px(self, mm):
        mm = np.atleast_2d(np.asarray(mm, float))
        p = np.column_stack([mm, np.ones(len(mm))]) @ self.homography.T
        centre = np.array([self.w / 2 + self.s * self.cx, self.h / 2 + self.s * self.cy])
        q = (p[:, :2] / p[:, 2:] - centre) / self.s
        r2 = (q**2).sum(1, keepdims=True)
        return centre + self.s * q * (1 + self.k1 * r2 + self.k2 * r2**2)

    def mm(self, px):
        px = np.atleast_2d(np.asarray(px, float))
        centre = np.array([self.w / 2 + self.s * self.cx, self.h / 2 + self.s * self.cy])
        d = (px - centre) / self.s
        rho = np.hypot(d[:, 0], d[:, 1])
        r = rho.copy()
        for _ in range(50):
            r -= (r * (1 + self.k1 * r**2 + self.k2 * r**4) - rho) / (1 + 3 * self.k1 * r**2 + 5 * self.k2 * r**4)
        ideal = centre + self.s * d * np.where(rho > 0, r / np.where(rho > 0, rho, 1), 1)[:, None]
        m = np.column_stack([ideal, np.ones(len(ideal))]) @ np.linalg.inv(self.homography).T
        return m[:, :2] / m[:, 2:]


def grid(size, columns, rows, margin=0.06):
    """Every mark's name and pixel."""
    w, h = size
    return {
        f"{chr(65 + i)}{j + 1}": (
            w * (margin + (1 - 2 * margin) * j / (columns - 1)),
            h * (margin + (1 - 2 * margin) * i / (rows - 1)),
        )
        for i in range(rows)
        for j in range(columns)
    }
