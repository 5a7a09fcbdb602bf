"""Make the demo's heads: meshes of about 150,000 triangles at 1:6, with their landmarks.

    python tools/demo_heads.py [--triangles N] [--all]

They are kept in build/heads, in a folder for each state of the generator and each size; what is
there is not made again. `make demo` lays those of 150,000 triangles into its copy of the line,
whose rounds name them. `--all` makes what no round names as well: sculpted hair, and the masks.
"""

import argparse
import shutil
import sys
from pathlib import Path

from heads.files import kept, mesh_file
from heads.masks import MASKS
from heads.sculpts import HAIRED, SCULPTS

ROOT = Path(__file__).resolve().parent.parent
CACHE = ROOT / "build/heads"
TRIANGLES = 150_000
FEWEST, MOST = 20_000, 5_000_000


def main(arguments: list[str]) -> int:
    """Make what is missing and say where it lies."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--triangles", type=int, default=TRIANGLES)
    parser.add_argument("--all", action="store_true")
    asked = parser.parse_args(arguments)
    if not FEWEST <= asked.triangles <= MOST:
        parser.error(f"--triangles must be {FEWEST} to {MOST}; received {asked.triangles}.")
    wanted = (*SCULPTS, *HAIRED, *MASKS.values()) if asked.all else SCULPTS
    folder, made = kept(wanted, triangles=asked.triangles, cache=CACHE)
    print(f"{len(wanted)} meshes lie in {folder.relative_to(ROOT)}; made now: {len(made)}.")
    return 0


def lay(line: Path) -> None:
    """Copy the sculpts' meshes into a copy of the line, where its rounds name them."""
    folder, _ = kept(SCULPTS, triangles=TRIANGLES, cache=CACHE)
    where = line / "sculpts"
    where.mkdir()
    for sculpt in SCULPTS:
        shutil.copy2(mesh_file(folder, sculpt), where / f"{sculpt.id}.ply")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
