"""Limits of workbooks and of files that a producer brings, each gone beyond by one."""

import zipfile
from pathlib import Path

from limits.trials import Trial
from sixwright.importer.grid import read_sheets
from sixwright.importer.voices import exports
from sixwright.kernel.errors import FolderError
from sixwright.storage.files import within
from sixwright.storage.workbooks import archive, cells, parsing
from storage.test_hostile_books import SHEET, after_the_rows, in_the_rows, lay, patched, plain

MIB = 2**20


def read(path: Path, by=read_sheets) -> str:
    """What is said of a file that cannot be read, which it must not be able to."""
    try:
        by(path)
    except FolderError as error:
        return str(error)
    return "it was read"


def holes(name: str, size: int, by=read_sheets):
    def said(path: Path) -> str:
        with (path / name).open("wb") as file:
            file.truncate(size)
        return read(path / name, by)

    return said


def cell(place: str):
    def said(path: Path) -> str:
        return read(lay(path / "parts.xlsx", plain(**{place: "stray"})))

    return said


def sheet(change):
    def said(path: Path) -> str:
        return read(patched(path / "parts.xlsx", SHEET, change))

    return said


def texts(rows: int, columns: int, length: int) -> bytes:
    one = b'<c t="inlineStr"><is><t>' + b"x" * length + b"</t></is></c>"
    return (b"<row>" + one * columns + b"</row>") * rows


def numbers(rows: int) -> bytes:
    return (b"<row>" + b"<c><v>1</v></c>" * 1000 + b"</row>") * rows


def many_parts(path: Path) -> str:
    lay(path / "parts.xlsx", plain())
    with zipfile.ZipFile(path / "parts.xlsx", "a") as book:
        for at in range(archive.MOST_PARTS + 1 - len(book.infolist())):
            book.writestr(f"x{at}", b"")
    return read(path / "parts.xlsx")


def merges(path: Path) -> str:
    ones = b'<mergeCell ref="A1:A2"/>' * (parsing.MOST_MERGED + 1)
    change = after_the_rows(b"<mergeCells>" + ones + b"</mergeCells>")
    return sheet(change)(path)


def many_votes(path: Path) -> str:
    (path / "votes.csv").write_text("id\n" + "v\n" * (exports.MOST_ROWS + 1))
    return read(path / "votes.csv", exports.read_export)


TRIALS = {
    "size of a workbook": Trial(
        f"{archive.MOST_FILE // MIB} MB", holes("parts.xlsx", archive.MOST_FILE + 1)
    ),
    "size of a workbook, unpacked, pictures aside": Trial(
        f"{archive.MOST_UNPACKED // MIB} MB", sheet(after_the_rows(b" " * archive.MOST_UNPACKED))
    ),
    "parts in the file of a workbook": Trial(f"{archive.MOST_PARTS:,}", many_parts),
    "tags in the file of a workbook": Trial(
        f"{archive.MOST_MARKS:,}", sheet(after_the_rows(b"<a/>" * archive.MOST_MARKS))
    ),
    "rows of a sheet": Trial(f"{cells.MOST_ROWS:,}", cell(f"A{cells.MOST_ROWS + 1}")),
    "columns of a sheet": Trial(f"{cells.MOST_COLUMNS:,}", cell("ALM1")),
    "cells of a workbook that hold something": Trial(
        f"{cells.MOST_CELLS:,}", sheet(in_the_rows(numbers(2000))), slow=True
    ),
    "characters in a cell of a workbook": Trial(
        f"{cells.LONGEST_CELL:,}",
        sheet(in_the_rows(b'<row r="9">' + texts(1, 1, cells.LONGEST_CELL + 1)[5:])),
    ),
    "characters in all cells of a workbook": Trial(
        f"{cells.MOST_TEXT:,}", sheet(in_the_rows(texts(2, 1000, 32_100))), slow=True
    ),
    "merged ranges of a sheet": Trial(f"{parsing.MOST_MERGED:,}", merges),
    "size of a CSV with parts": Trial(
        f"{within.MOST_TABLE // MIB} MB", holes("parts.csv", within.MOST_TABLE + 1)
    ),
    "size of an export of votes or comments": Trial(
        f"{within.MOST_NAMED // MIB} MB",
        holes("votes.csv", within.MOST_NAMED + 1, exports.read_export),
    ),
    "rows of an export of votes or comments": Trial(f"{exports.MOST_ROWS:,}", many_votes),
}
