"""How long reading, judging, pages and the report take as a line grows; and the exponent of each.

    python benchmarks/growth.py [PARTS ...]

A line of the tests' own making, in 6, 20 and 60 boxes, so that its contents grow with both. The
exponent is the slope of log time over log rows of contents between the two largest sizes; a step
that takes a second or more should stay below 1.2.
Beside them in the same run: pandas reading `contents.csv` alone, which checks nothing.
"""

import gc
import math
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from reports.folders import write_folder  # noqa: E402
from reports.lines import real_size  # noqa: E402
from sixwright.reports.pages import document  # noqa: E402
from sixwright.reports.pages.windows import Windows, windowed  # noqa: E402
from sixwright.reports.prompt.text import review_text  # noqa: E402
from sixwright.reports.report_files import report_files  # noqa: E402
from sixwright.storage.folder import read  # noqa: E402
from sixwright.workflows.review import review  # noqa: E402

TODAY = date(2026, 9, 14)
BOXES = {100: 6, 1000: 20, 5000: 60}


def timed(work: Callable[[], object]) -> tuple[float, object]:
    """Processor seconds, and what was made."""
    begun = time.process_time()
    made = work()
    return time.process_time() - begun, made


def steps(folder: Path) -> tuple[int, dict[str, float]]:
    """Rows of contents, and the processor seconds of each step."""
    import pandas as pd

    taken: dict[str, float] = {}
    taken["pandas reads contents.csv"], _ = timed(
        lambda: pd.read_csv(folder / "contents.csv", dtype=str)
    )
    taken["read the folder"], found = timed(lambda: read(folder))
    taken["judge it"], judged = timed(lambda: review(found.project, today=TODAY))
    for page in ("home", "lineup", "money"):
        made = timed(lambda page=page: windowed(document(judged, page), Windows()))
        taken[f"the page of {page}, as a document"] = made[0]
    taken["check, as text"], _ = timed(lambda: review_text(judged, (), styled=False))
    taken["all files of the report"], _ = timed(
        lambda: report_files(judged, folder="line", inputs=found.inputs)
    )
    return len(found.project.contents), taken


def main(sizes: list[int]) -> None:
    """Print the table."""
    gc.set_threshold(100_000, 50, 100)  # as the command does
    columns = []
    for parts in sizes:
        with tempfile.TemporaryDirectory() as scratch:
            line = real_size(parts=parts, boxes=BOXES.get(parts, 60))
            columns.append(steps(write_folder(line, Path(scratch) / "line")))
    print(f"| processor seconds | {' | '.join(f'{n} parts' for n in sizes)} | exponent |")
    print(f"|---|{'---|' * (len(sizes) + 1)}")
    rows = [count for count, _ in columns]
    for name in columns[0][1]:
        values = [taken[name] for _, taken in columns]
        slope = ""
        if len(values) > 1 and values[-1] >= 1:
            slope = f"{math.log(values[-1] / values[-2]) / math.log(rows[-1] / rows[-2]):.2f}"
        print(f"| {name} | {' | '.join(f'{value:.2f}' for value in values)} | {slope} |")


if __name__ == "__main__":
    main([int(text) for text in sys.argv[1:]] or list(BOXES))
