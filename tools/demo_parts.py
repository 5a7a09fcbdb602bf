"""Make plain, true-sized meshes of the demo's other parts: hands, keys, crank, boots, base.

    python tools/demo_parts.py

They are kept in build/parts, in a folder for each state of the code; what is there is not made
again. No table of a line names the mesh of a part, so none is laid into the demo's folder.
"""

import sys
from pathlib import Path

from part_meshes.files import kept
from part_meshes.parts import PARTS

ROOT = Path(__file__).resolve().parent.parent
CACHE = ROOT / "build/parts"


def main() -> int:
    """Make what is missing and say where it lies."""
    folder, made = kept(PARTS, CACHE)
    print(f"{len(PARTS)} meshes of parts lie in {folder.relative_to(ROOT)}; made now: {len(made)}.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
