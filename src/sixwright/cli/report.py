"""`sixwright report`: the line as HTML and PDF, and the buyer's sheet as HTML, PNG and PDF."""

import sys
from pathlib import Path

from sixwright.cli.clock import clock_at
from sixwright.kernel.errors import CallError


def run_report(folder: Path, out_dir: Path, *, today: str | None) -> int:
    """Write the report's files into `out_dir`, and give the exit status of the check."""
    from sixwright.cli.check import status
    from sixwright.reports.report_files import report_files
    from sixwright.storage.cache import TOOLS
    from sixwright.storage.folder import read
    from sixwright.workflows.review import review

    found = read(folder)
    judged = review(found.project, today=clock_at(today)().date(), tools=TOOLS)
    files = report_files(judged, folder=folder.resolve().name, inputs=found.inputs)
    try:
        out_dir.mkdir(parents=True, exist_ok=True)
        for name, content in files.contents.items():
            (out_dir / name).write_bytes(content)
            sys.stderr.write(f"Wrote {out_dir / name}.\n")
    except OSError as error:
        raise CallError(
            f"{out_dir} must be a folder that can be written; {error.strerror}."
        ) from error
    for notice in files.notices:
        sys.stderr.write(f"{notice}\n")
    return status(judged, strict=False)
