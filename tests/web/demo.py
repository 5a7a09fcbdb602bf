"""The demo line's boxes, money and choices, without what takes seconds: heads, dates, voices."""

import shutil
from pathlib import Path

from architecture.reading import ROOT
from sixwright.project.tables_dates import DATES_TABLES
from sixwright.project.tables_likeness import LIKENESS_TABLES
from sixwright.project.tables_voices import VOICES_TABLES
from sixwright.storage.tables.large_tables import LARGE

LEFT = (*LIKENESS_TABLES, *DATES_TABLES, *VOICES_TABLES)
LEFT_OUT = {table.file for table in LEFT} | set(LARGE) | {"stills"}


def demo_without_heads(folder: Path) -> Path:
    ignore = shutil.ignore_patterns(*LEFT_OUT)
    return shutil.copytree(ROOT / "examples/sluice-keeper", folder / "sluice-keeper", ignore=ignore)
