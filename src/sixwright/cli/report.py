"""`sixwright report`: the line as HTML and PDF, and sheets for buyers and makers."""

import re
import sys
from pathlib import Path

from sixwright.cli.clock import clock_at

# How the report of an earlier run begins: it, and what lies beside it, is made anew.
SIGN = ("report.html", re.compile(rb'<!doctype html>\s*<html lang="[^"]*" class="report">'))


def run_report(folder: Path, out_dir: Path, *, today: str | None) -> int:
    """Write the report's files into `out_dir`, and give the exit status of the check."""
    from sixwright.cli.check import status
    from sixwright.reports.raster.shots import drawn
    from sixwright.reports.report_files import report_files
    from sixwright.reports.sheets.maker_files import maker_files
    from sixwright.reports.sheets.sculptor_files import sculptor_files
    from sixwright.storage.files.leaving import check_new, write_out
    from sixwright.storage.folder import folder_name, read
    from sixwright.storage.shots import Pictures
    from sixwright.storage.tools import tools_for
    from sixwright.workflows.review import review

    found = read(folder)
    day = clock_at(today)().date()
    judged = review(found.project, today=day, tools=tools_for(folder))
    pictures = Pictures(folder, drawn)
    files = report_files(judged, folder=folder_name(folder), inputs=found.inputs, photos=pictures)
    sheets = maker_files(judged)
    asked = sculptor_files(judged, pictures)
    contents = {**files.contents, **sheets.contents, **asked.contents}
    check_new(out_dir, contents, sign=SIGN)
    write_out({out_dir / name: content for name, content in contents.items()}, line=folder)
    for name in contents:
        sys.stderr.write(f"Wrote {out_dir / name}.\n")
    for notice in (*files.notices, *sheets.notices, *asked.notices):
        sys.stderr.write(f"{notice}\n")
    return status(judged, strict=False)
