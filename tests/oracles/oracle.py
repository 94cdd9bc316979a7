"""What every oracle script does with its answer: write it beside itself, or compare it with what is written.

`python NAME.py` writes NAME.json; `python NAME.py --check` computes again and fails when anything differs by more than
the relative tolerance, so that the JSON in the tree is known to be what the outside library says.
"""

import json
import pathlib
import sys


def same(a, b, tolerance):
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(same(a[k], b[k], tolerance) for k in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(same(x, y, tolerance) for x, y in zip(a, b))
    if isinstance(a, (int, float)) and isinstance(b, (int, float)) and not isinstance(a, bool):
        return abs(a - b) <= tolerance * max(1.0, abs(a), abs(b))
    return a == b


def keep(script, answer, tolerance=1e-6):
    path = pathlib.Path(script).with_suffix(".json")
    answer = json.loads(json.dumps(answer))
    if "--check" in sys.argv[1:]:
        if not same(answer, json.loads(path.read_text()), tolerance):
            sys.exit(f"{path.name} differs from what {pathlib.Path(script).name} computes now")
        print(f"{path.name}: as computed now")
    else:
        path.write_text(json.dumps(answer).replace("}, {", "},\n{") + "\n")
        print(f"{path.name}: written")
