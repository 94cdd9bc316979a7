"""The readings of the demo, invented: a 1080p projector tilted by 12 degrees over a lit area of about 1500 by 850 mm, read on a
ruled mat with 0.5 mm of honest noise and rounded to half a millimetre. Writes calibration/readings/demo.toml;
`--check` compares it."""

import pathlib
import sys

import numpy as np
from projector import Projector, grid

SIZE = (1920, 1080)
SIGMA = 0.5


def sample():
    rng = np.random.default_rng(20261125)
    thrower = Projector(SIZE, 1800, 1.2, np.radians(12), yaw=0.02, roll=-0.01, aim=(780, 450), lens=(0.006, -0.001, 0.01, 0.02))
    out = [
        "# Sample readings, invented for the demo: computed for a 1080p projector 1.8 m from the table, tilted by 12 degrees,",
        "# with a mild lens; then blurred with 0.5 mm of chance and rounded to half a millimetre, as a tape is read.",
        "# tests/oracles/sample_readings.py writes this file.",
        "[projector]",
        f"width = {SIZE[0]}",
        f"height = {SIZE[1]}",
        "",
        "[grid]",
        "columns = 5",
        "rows = 3",
        "margin = 0.06",
        "",
        "[tape]",
        f'sigma = "{SIGMA} mm"',
        "",
        "[lens]",
    ]
    tape = lambda v: round((v + rng.normal(0, 5)) / 5) * 5
    x, y, z = thrower.lens_mm
    out += [f'foot = ["{tape(x)} mm", "{tape(y)} mm"]', f'height = "{tape(z)} mm"']
    for name, px in grid(SIZE, 5, 3).items():
        x, y = np.round((thrower.mm(px)[0] + rng.normal(0, SIGMA, 2)) * 2) / 2
        out += ["", "[[reading]]", f'mark = "{name}"', f'at = ["{x:.1f} mm", "{y:.1f} mm"]']
    return "\n".join(out) + "\n"


if __name__ == "__main__":
    path = pathlib.Path(__file__).parents[2] / "calibration" / "readings" / "demo.toml"
    if "--check" not in sys.argv[1:]:
        path.write_text(sample())
    elif path.read_text() != sample():
        sys.exit(f"{path.name} is not what {pathlib.Path(__file__).name} computes now")
