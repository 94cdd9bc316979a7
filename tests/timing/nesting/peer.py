"""The length of spyrrow's lay of outlines that may be turned end for end, and the processor time that it took.

Needs spyrrow 0.9.0 (PyPI). python peer.py < TASK: {"width", "seconds" (whole), "rings": [[[x, y], ...], ...]}
"""

import json
import resource
import sys

import spyrrow

task = json.load(sys.stdin)
items = [
    spyrrow.Item(str(i), [tuple(p) for p in ring], demand=1, allowed_orientations=[0.0, 180.0])
    for i, ring in enumerate(task["rings"])
]
instance = spyrrow.StripPackingInstance("garment", strip_height=task["width"], items=items)
config = spyrrow.StripPackingConfig(
    early_termination=False, total_computation_time=round(task["seconds"]), num_workers=2, seed=1
)
solution = instance.solve(config)
used = resource.getrusage(resource.RUSAGE_SELF)
print(json.dumps({"length": solution.width, "processor_seconds": used.ru_utime + used.ru_stime}))
