"""`sixwright report`: the line as one HTML file."""

import sys
from pathlib import Path

from sixwright.cli.clock import clock_at
from sixwright.kernel.errors import CallError


def run_report(folder: Path, out_dir: Path, *, today: str | None) -> int:
    """Write report.html into `out_dir`, and give the exit status of the check."""
    from sixwright.cli.check import status
    from sixwright.reports.html import report_html
    from sixwright.storage.folder import read
    from sixwright.workflows.review import review

    found = read(folder)
    judged = review(found.project, today=clock_at(today)().date())
    page = report_html(judged, folder=folder.resolve().name, inputs=found.inputs)
    try:
        out_dir.mkdir(parents=True, exist_ok=True)
        file = out_dir / "report.html"
        file.write_text(page, encoding="utf-8", newline="\n")
    except OSError as error:
        raise CallError(
            f"{out_dir} must be a folder that can be written; {error.strerror}."
        ) from error
    sys.stderr.write(f"Wrote {file}.\n")
    return status(judged, strict=False)
