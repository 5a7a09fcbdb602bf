"""Spreadsheets made for a test, and what a guess reads its columns as."""

from pathlib import Path

import xlsxwriter


def csv_file(folder: Path, text: str, *, encoding: str = "utf-8") -> Path:
    path = folder / "parts.csv"
    path.write_bytes(text.encode(encoding))
    return path


def xlsx_file(folder: Path, rows, *, name: str = "parts.xlsx", edit=None) -> Path:
    book = xlsxwriter.Workbook(folder / name)
    sheet = book.add_worksheet("Parts")
    for at, row in enumerate(rows):
        for column, value in enumerate(row):
            if value is not None:
                sheet.write(at, column, value)
    if edit:
        edit(book, sheet)
    book.close()
    return folder / name


def meanings(guess) -> dict[str, str]:
    return {column.name: column.meaning for column in guess.columns}
