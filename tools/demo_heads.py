"""Make the demo's heads: meshes of about 150,000 triangles at 1:6, with their landmarks.

    python tools/demo_heads.py [--triangles N] [--all]

They are kept in build/heads, in a folder for each state of the generator and each size; what is
there is not made again. The line's rounds name those of 150,000 triangles: these are laid into its
folder too. `--all` makes what no round names as well: sculpted hair, and the masks.
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
LAID = ROOT / "examples/sluice-keeper/sculpts"
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
    if asked.triangles == TRIANGLES:
        lay(folder, LAID)
    print(f"{len(wanted)} meshes lie in {folder.relative_to(ROOT)}; made now: {len(made)}.")
    return 0


def lay(folder: Path, where: Path) -> None:
    """Copy the sculpts' meshes to where the line's rounds name them, but those that lie there."""
    where.mkdir(exist_ok=True)
    for sculpt in SCULPTS:
        made, laid = mesh_file(folder, sculpt), where / f"{sculpt.id}.ply"
        if not laid.is_file() or laid.read_bytes() != made.read_bytes():
            shutil.copyfile(made, laid.with_suffix(".part"))
            laid.with_suffix(".part").replace(laid)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
