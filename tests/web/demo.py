"""The demo line's boxes, money and choices, without heads and dates, which take seconds."""

import shutil
from pathlib import Path

from architecture.reading import ROOT
from sixwright.project.tables_dates import DATES_TABLES
from sixwright.project.tables_likeness import LIKENESS_TABLES

OF_HEADS = {table.file for table in (*LIKENESS_TABLES, *DATES_TABLES)} | {"stills"}


def demo_without_heads(folder: Path) -> Path:
    ignore = shutil.ignore_patterns(*OF_HEADS)
    return shutil.copytree(ROOT / "examples/sluice-keeper", folder / "sluice-keeper", ignore=ignore)
