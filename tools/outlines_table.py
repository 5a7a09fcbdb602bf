"""Write docs/likeness-outlines.md: what outlines add to points, on hidden truths with a skin.

    python tools/outlines_table.py [SEEDS] [PROCESSES]

Some five minutes of processor time for 25 seeds. The truth is made by
tests/topics/likeness/skins.py, which shares nothing with the solver.
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from topics.likeness.outline_numbers import Told

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))
OUT = ROOT / "docs" / "likeness-outlines.md"

HEAD = """# What outlines add, on hidden truths

Made by `python tools/outlines_table.py {seeds}`: heads with a skin, made by code that shares
nothing with the solver (`tests/topics/likeness/skins.py`), 25 landmarks, six stills to profile at
900 px and 1.5 px where nothing else is said, and of each still 50 points on the outlines of jaw,
cheek, chin and profile, drawn with 1.5 px of error that hangs together. Each pair is without
outlines and with them, on the same heads. Right and wrong are about 0.25 mm at 1:6 in the answer's
own frame, far is more than 0.4 mm; coverage is of landmarks seen twice, along each axis, by what is
believed.

| heads | wrong, % | named, % | of the far, % | right that hold, % | 95 % hold the truth, % \
| error, mm | false holds | false fails | time |
|---|---|---|---|---|---|---|---|---|---|
"""

# Written by hand, from the run of 25 seeds of 28 November 2026 and from tests of that day.
AIMED = """
Aimed at: named and right that hold each 8 points higher, coverage of 93 to 97 %. On 25 heads named
is 5 points higher, of the far 12, right that hold 4, coverage 93.9. Outlines add most where points
are weakest: jaw angles, chin and nose tip. What is left open after that lies away from every
outline, or in a direction that no outline shows. On poor stills they add nothing, and 95 % hold the
truth 87 % of the time with them or without.

## One drawing that follows another edge

On 60 of these heads (seeds 0 to 29, of which 0 to 19 were looked at while the limits were chosen,
and 100 to 129) one drawing was moved 5 to 9 mm at full size, all of it, six tenths, a half, or
coming and going (`tests/topics/likeness/gross_tracings.py`). Believed, it failed in 51; now in
none: 48 are named and not used, 4 are doubtful as nothing else shows that place, 7 run along no
outline of the sculpt, 1 is doubtful by its own interval. Of 1,144 right drawings beside them 2 were
left out. On the 30 of fresh seeds right landmarks that hold went from 278 to 307 (306 without the
gross drawing), false fails from 4 to 2 (2).

24 heads are really wrong by as much: a jaw 1 mm a side, a cheek or the chin by 0.9 to 1.2 mm. Of
their 482 right drawings 1 was left out; 77 failed before, 76 do.

## Directions of landmarks: the table's, or the mesh's

The heads of docs/likeness-table.md have no mesh: there, which way out a landmark looks is taken
from the table of usual heads, and what hides what is up to the truth alone. Where a sculpt has a
mesh, the program takes both from it. The same heads with a skin, by points alone, judged both ways
(`by_table_and_mesh` in `tests/topics/likeness/outline_numbers.py`; one process, 28 November 2026):

| heads | named, % | of the far, % | right that hold, % | 95 % hold the truth, % | error, mm \
| false holds | false fails |
|---|---|---|---|---|---|---|---|
| six good stills (25) | 36 → 36 | 63 → 62 | 58 → 58 | 94.5 → 94.5 | 0.063 → 0.062 \
| 0 of 252 → 0 of 255 | 0 of 68 → 0 of 67 |
| definitions slip by 1 mm (10) | 23 → 28 | 64 → 66 | 17 → 20 | 94.0 → 94.4 | 0.088 → 0.087 \
| 1 of 28 → 1 of 32 | 0 of 21 → 0 of 26 |
| four within 30°, 450 px, 3 px (10) | 0 → 0 | 0 → 0 | 0 → 0 | 91.6 → 91.7 | 0.127 → 0.128 \
| 0 of 0 → 0 of 0 | 0 of 0 → 0 of 0 |

So the table's numbers stand for heads with meshes too; soft definitions gain a little.
"""

SCENES: tuple[tuple[str, float, dict[str, object]], ...] = (
    ("definitions slip by 1 mm", 0.2, {"slip": 1.0}),
    ("drawn twice as badly, and said so", 0.2,
     {"alike": 1.0, "wander": 1.4, "hand": 0.8, "said": 2.0}),
    ("drawn twice as badly, and not said", 0.2, {"alike": 1.0, "wander": 1.4, "hand": 0.8}),
    ("four within 30°, 450 px, 3 px", 0.2,
     {"views": (-28.0, -8.0, 12.0, 27.0), "head_px": 450.0, "noise": 3.0}),
)  # fmt: skip


def counted(task: tuple[int, str | None, dict[str, object]]) -> "tuple[Told, Told]":
    """One head, by points alone and with outlines."""
    from topics.likeness.errors import KINDS
    from topics.likeness.outline_numbers import compared

    seed, kind, how = task
    return compared([seed], (kind,) if kind else KINDS, **how)


def row(name: str, heads: "list[tuple[Told, Told]]") -> str:
    """A line of the table."""
    from topics.likeness.outline_numbers import Told

    bare, drawn = Told(), Told()
    for one, other in heads:
        bare.add(one)
        drawn.add(other)
    a, b = bare.shares(), drawn.shares()

    def pair(key: str, digits: int = 0, times: float = 100.0) -> str:
        return " → ".join(
            "–" if np.isnan(value) else f"{times * value:.{digits}f}" for value in (a[key], b[key])
        )

    false = [
        f"{a[kind]} of {a[of]} → {b[kind]} of {b[of]}"
        for kind, of in (("false_holds", "all_holds"), ("false_fails", "all_fails"))
    ]
    longer = sum(drawn.seconds) / max(sum(bare.seconds), 1e-9)
    return (
        f"| {name} ({len(heads)}) | {pair('wrong')} | {pair('named')} | {pair('far_named')} | "
        f"{pair('held')} | {pair('coverage', 1)} | {pair('rms', 3, 1.0)} | {false[0]} | {false[1]} "
        f"| × {longer:.1f} |"
    )


def main() -> None:
    """Run every head and write the table."""
    from topics.likeness.errors import KINDS

    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 25
    processes = int(sys.argv[2]) if len(sys.argv) > 2 else 2
    good = [(seed, KINDS[seed % len(KINDS)], {}) for seed in range(seeds)]
    more = [
        (seed, KINDS[seed % len(KINDS)], how)
        for _, share, how in SCENES
        for seed in range(100, 100 + max(1, round(share * seeds)))
    ]
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        found = list(pool.map(counted, [*good, *more]))
    rows = [row(f"six good stills: {kind}", found[n:seeds:len(KINDS)])
            for n, kind in enumerate(KINDS)]  # fmt: skip
    rows.append(row("six good stills: all", found[:seeds]))
    rest = found[seeds:]
    for name, share, _ in SCENES:
        count = max(1, round(share * seeds))
        rows.append(row(name, rest[:count]))
        rest = rest[count:]
    jaws = [
        sum(n > 0 for one in side for n in one.jaws) for side in zip(*found[:seeds], strict=True)
    ]
    wrong = sum(len(one.jaws) for one, _ in found[:seeds])
    told = (
        f"\n\nA jaw 0.35 to 0.6 mm a side too narrow or too wide has a jaw angle named in "
        f"{jaws[0]} of {wrong} heads by points alone, in {jaws[1]} with outlines.\n"
    )
    OUT.write_text(
        HEAD.replace("\\\n", "").format(seeds=seeds) + "\n".join(rows) + told + AIMED,
        encoding="utf-8",
    )


if __name__ == "__main__":
    main()
