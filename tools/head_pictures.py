"""Take the README's picture of the demo's heads: docs/pictures/heads.webp, as sixwright draws them.

    python tools/head_pictures.py

The level head of round 2 and the four other expressions, each from the front, turned by 40 degrees,
and from the side; the meshes are those that `make demo` laid into the demo line.
"""

import io
import sys
from pathlib import Path

import numpy as np
import trimesh
from PIL import Image

from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.mesh.views import model_of
from sixwright.reports.raster.turned import Turned, turned

ROOT = Path(__file__).resolve().parent.parent
MESHES = ROOT / "build/demo/checked/sluice-keeper/sculpts"  # make demo lays them there
OUT = ROOT / "docs/pictures/heads.webp"
ROUNDS = ("m1-level-2", "m2-counting-1", "l1-weary-1", "l2-shouting-1", "l3-laughing-1")
YAWS_DEG = (0.0, 40.0, 90.0)
MIDDLE_MM = (0.0, 0.0, 1.5)
WIDTH, HEIGHT, STEP_MM = 240, 280, 0.175
QUALITY = 80


def views(name: str) -> Image.Image:
    """One head from each side, below one another."""
    read = trimesh.load(MESHES / f"{name}.ply", process=False)
    model = model_of(Mesh(np.asarray(read.vertices), np.asarray(read.faces, np.int32)))
    column = Image.new("RGB", (WIDTH, HEIGHT * len(YAWS_DEG)))
    for row, yaw_deg in enumerate(YAWS_DEG):
        shot = Turned(yaw_deg, 4.0, MIDDLE_MM, STEP_MM, WIDTH, HEIGHT)
        column.paste(Image.open(io.BytesIO(turned(model, shot))), (0, HEIGHT * row))
    return column


def main() -> int:
    """Draw the sheet; 1 where the meshes are not there yet."""
    missing = [name for name in ROUNDS if not (MESHES / f"{name}.ply").is_file()]
    if missing:
        print(f"{missing[0]}.ply is not in {MESHES.relative_to(ROOT)}: run make heads first.")
        return 1
    sheet = Image.new("RGB", (WIDTH * len(ROUNDS), HEIGHT * len(YAWS_DEG)))
    for place, name in enumerate(ROUNDS):
        sheet.paste(views(name), (WIDTH * place, 0))
    sheet.save(OUT, quality=QUALITY, method=6)
    return 0


if __name__ == "__main__":
    sys.exit(main())
