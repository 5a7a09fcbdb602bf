"""Make the demo's heads: meshes of about 150,000 triangles at 1:6, with their landmarks.

    python tools/demo_heads.py [--triangles N] [--hair]

They are kept in build/heads, in a folder for each state of the generator and each size; what is
there is not made again. `--hair` makes the two Muster heads with sculpted hair as well.
"""

import argparse
import sys
from pathlib import Path

from heads.files import kept
from heads.sculpts import HAIRED, SCULPTS

ROOT = Path(__file__).resolve().parent.parent
CACHE = ROOT / "build/heads"
TRIANGLES = 150_000
FEWEST, MOST = 20_000, 5_000_000


def main(arguments: list[str]) -> int:
    """Make what is missing and say where it lies."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--triangles", type=int, default=TRIANGLES)
    parser.add_argument("--hair", action="store_true")
    asked = parser.parse_args(arguments)
    if not FEWEST <= asked.triangles <= MOST:
        parser.error(f"--triangles must be {FEWEST} to {MOST}; received {asked.triangles}.")
    sculpts = (*SCULPTS, *HAIRED) if asked.hair else SCULPTS
    folder, made = kept(sculpts, triangles=asked.triangles, cache=CACHE)
    print(f"{len(sculpts)} heads lie in {folder.relative_to(ROOT)}; made now: {len(made)}.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
