"""The demo line's boxes, money and choices, without what takes seconds: heads, dates, voices."""

import shutil
from pathlib import Path

from architecture.reading import ROOT
from sixwright.project.tables.dates import DATES
from sixwright.project.tables.likeness import LIKENESS
from sixwright.project.tables.voices import VOICES
from sixwright.storage.tables.large_tables import LARGE

LEFT = (*LIKENESS.tables, *DATES.tables, *VOICES.tables)
LEFT_OUT = {table.file for table in LEFT} | set(LARGE) | {"stills"}


def demo_without_heads(folder: Path) -> Path:
    ignore = shutil.ignore_patterns(*LEFT_OUT)
    return shutil.copytree(ROOT / "examples/sluice-keeper", folder / "sluice-keeper", ignore=ignore)
