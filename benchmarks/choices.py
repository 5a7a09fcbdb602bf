"""How long the choices of the demo take: a review, one try, all combinations; dominance by numpy.

    python benchmarks/choices.py

All in one process, RUNS times; the median and the fastest are printed as a table. The comparison of
many ways on every count is the only step that a general-purpose library does as well; numpy's
broadcasting is its reference. It works on floats, ours on exact fractions with unknowns.
"""

import statistics
import sys
import time
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import numpy as np

from sixwright.storage.folder import read
from sixwright.workflows.choose_combine import MOST, beats
from sixwright.workflows.choose_measures import MeasureKind
from sixwright.workflows.compare import compare
from sixwright.workflows.review import review

ROOT = Path(__file__).resolve().parent.parent
LINE = ROOT / "examples/sluice-keeper"
TODAY = date(2026, 9, 14)
RUNS = 9
COUNTS = 12


def seconds(work: Callable[[], object]) -> tuple[float, float]:
    """Median and fastest of RUNS, after one to warm up."""
    work()
    taken = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken), min(taken)


def main() -> None:
    """Time every step and print the table."""
    project = read(LINE).project
    stands = review(project, today=TODAY)

    generator = np.random.Generator(np.random.Philox(1840))
    rows = generator.integers(0, 100, (MOST, COUNTS))
    kinds = [MeasureKind(str(i), "", "", "more") for i in range(COUNTS)]
    ways = [{str(i): Fraction(int(value)) for i, value in enumerate(row)} for row in rows]
    table = {
        "a review, each alternative tried for its profit": (
            lambda: review(project, today=TODAY), 0.2,
        ),
        "all eight combinations, interactions, overtakings": (lambda: compare(stands), 1.5),
        f"dominance among {MOST} ways, ours": (
            lambda: [[beats(a, b, kinds) for a in ways] for b in ways], None,
        ),
        f"dominance among {MOST} ways, numpy": (
            lambda: (rows[:, None] >= rows).all(2) & (rows[:, None] > rows).any(2), None,
        ),
    }  # fmt: skip
    print(f"Python {sys.version.split()[0]} on {sys.platform}, {RUNS} runs")
    print()
    print("| what | median, s | fastest, s | limit, s |")
    print("|---|---|---|---|")
    for name, (work, limit) in table.items():
        median, fastest = seconds(work)
        print(f"| {name} | {median:.4f} | {fastest:.4f} | {'' if limit is None else limit} |")


if __name__ == "__main__":
    main()
