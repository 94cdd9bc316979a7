"""Warps a page of one byte a pixel through a map with OpenCV's remap: the way of those who draw a page and warp it.

Reads a job (JSON) on stdin, writes the frame's bytes to the job's file `frame` and OpenCV's version to stdout. The map gives
for every pixel of the frame its place on the page, in the page's pixels from its first pixel's centre.
"""

import json
import sys

import cv2
import numpy as np

WAYS = {"linear": cv2.INTER_LINEAR, "cubic": cv2.INTER_CUBIC, "lanczos": cv2.INTER_LANCZOS4}


def main():
    job = json.load(sys.stdin)
    width, height = job["size"]
    page = np.fromfile(job["page"], dtype=np.uint8).reshape(height, width)
    width, height = job["picture"]
    at = np.fromfile(job["map"], dtype="<f4").reshape(height, width, 2)
    frame = cv2.remap(page, at[..., 0], at[..., 1], WAYS[job["way"]], borderMode=cv2.BORDER_CONSTANT, borderValue=0)
    frame.tofile(job["frame"])
    json.dump(cv2.__version__, sys.stdout)


if __name__ == "__main__":
    main()
