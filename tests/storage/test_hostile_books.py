"""Workbooks with more in them than a table, or less: read within stated bounds, or refused.

What each did before: a stray cell at A1048576 took 1.0 GB, at XFD1048576 more than 5 GB; a merge
of the whole sheet more than 5 GB; 10,000,000 empty cells 5.5 GB; broken XML and styles were
"wrong in sixwright itself".
"""

import tracemalloc
import zipfile
from io import BytesIO

import pytest
from openpyxl import Workbook

from sixwright.kernel.errors import FolderError
from sixwright.storage.workbooks.book import book_property, read_book
from sixwright.storage.workbooks.cells import MOST_COLUMNS, MOST_ROWS

SHEET = "xl/worksheets/sheet1.xml"
END = b"</sheetData>"
MOST_MB = 60


def plain(**cells):
    book = Workbook()
    book.active.title = "Parts"
    book.active.append(["id", "name", "quantity"])
    for number in range(5):
        book.active.append([f"p-{number}", f"Part {number}", number])
    for place, value in cells.items():
        book.active[place] = value
    content = BytesIO()
    book.save(content)
    return content


def lay(path, content):
    path.write_bytes(content.getvalue())
    return path


def patched(path, name, change):
    """A workbook one of whose parts is another, or (None) is not there."""
    with (
        zipfile.ZipFile(plain()) as old,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for part in old.namelist():
            content = old.read(part)
            content = change(content) if part == name else content
            if content is not None:
                new.writestr(part, content)
    return path


def after_the_rows(addition):
    return lambda content: content.replace(END, END + addition)


def in_the_rows(addition):
    return lambda content: content.replace(END, addition + END)


def bounded(path, most_mb=MOST_MB):
    """What a file is read as, or the one problem that it has; never with much memory."""
    tracemalloc.start()
    try:
        try:
            return read_book(path)
        except FolderError as error:
            (problem,) = error.problems
            return problem
        finally:
            assert tracemalloc.get_traced_memory()[1] < most_mb * 2**20
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize(
    ("at", "column"), [("A1048576", 1), ("XFD1", 16384), ("XFD1048576", 16384)]
)
def test_a_cell_far_out_is_refused_by_its_place(tmp_path, at, column):
    found = bounded(lay(tmp_path / "parts.xlsx", plain(**{at: "stray"})))
    assert found.file == "parts.xlsx, sheet “Parts”"
    assert found.row == int(at.lstrip("AXFD"))
    assert found.expected == f"cells in at most {MOST_ROWS} rows and {MOST_COLUMNS} columns"
    assert found.found == f"one in column {column} that holds “stray”"


def test_blanks_far_out_are_no_cells(tmp_path):
    far = {"A1048576": " ", "XFD1048576": "\t", "XFD1": "  "}
    (sheet,) = bounded(lay(tmp_path / "parts.xlsx", plain(**far)))
    assert (len(sheet.rows), len(sheet.rows[0])) == (6, 3)


def test_the_last_row_that_is_read_is_read(tmp_path):
    (sheet,) = bounded(lay(tmp_path / "parts.xlsx", plain(**{f"C{MOST_ROWS}": "last"})))
    assert sheet.rows[-1] == ("", "", "last")
    assert len(sheet.rows) == MOST_ROWS


@pytest.mark.parametrize("ref", ["A1:XFD1048576", "A1:A1048576", "A1:XFD1"])
def test_a_merge_counts_as_far_as_the_sheet_holds_something(tmp_path, ref):
    merge = f'<mergeCells><mergeCell ref="{ref}"/></mergeCells>'.encode()
    (sheet,) = bounded(patched(tmp_path / "parts.xlsx", SHEET, after_the_rows(merge)))
    assert len(sheet.rows) == 6
    ((top, bottom, left, right),) = sheet.merged
    assert (top, left) == (0, 0)
    assert (bottom, right) in {(5, 2), (5, 0), (0, 2)}


def test_merges_over_each_other_are_told_and_too_many_refused(tmp_path):
    ones = [f'<mergeCell ref="A{at}:Z{at + 1000}"/>' for at in range(1, 1001)]
    merges = f"<mergeCells>{''.join(ones)}</mergeCells>".encode()
    (sheet,) = bounded(patched(tmp_path / "parts.xlsx", SHEET, after_the_rows(merges)))
    assert len(sheet.merged) == 6
    merges = f"<mergeCells>{''.join(ones * 11)}</mergeCells>".encode()
    found = bounded(patched(tmp_path / "parts.xlsx", SHEET, after_the_rows(merges)))
    assert found.expected == "at most 10000 merged ranges"


TOO_MUCH = {
    "blanks between": (after_the_rows(b" " * 200 * 2**20), "at most 192 MB, unpacked"),
    "a cell of blanks": (
        in_the_rows(
            b'<row r="9"><c t="inlineStr"><is><t>' + b" " * 33_000 + b"</t></is></c></row>"
        ),
        "at most 32767 characters in a cell",
    ),
    "elements": (after_the_rows(b"<a/>" * 13_000_000), "at most 12000000 tags, their ends counted"),
    "elements beside": (after_the_rows(b"<a/>" * 210_000), "200000 beside the rows"),
    "cells in a row": (
        in_the_rows(b'<row r="9">' + b"<c/>" * 300_000 + b"</row>"), "262144 in a row",
    ),
    "elements in each other": (
        after_the_rows(b"<a>" * 300 + b"</a>" * 300), "at most 200 elements within each other",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", TOO_MUCH)
def test_more_than_is_read_is_refused_before_it_takes_memory(tmp_path, case):
    change, expected = TOO_MUCH[case]
    found = bounded(patched(tmp_path / "parts.xlsx", SHEET, change))
    assert expected in found.expected


def test_what_a_part_is_called_hides_nothing(tmp_path):
    """A sheet that lies under a picture's name is counted as it is read."""
    with (
        zipfile.ZipFile(plain()) as old,
        zipfile.ZipFile(tmp_path / "parts.xlsx", "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for part in old.namelist():
            content = old.read(part).replace(b"worksheets/sheet1.xml", b"media/one.png")
            if part == SHEET:
                content = after_the_rows(b" " * 200 * 2**20)(content)
            new.writestr("xl/media/one.png" if part == SHEET else part, content)
    found = bounded(tmp_path / "parts.xlsx", most_mb=260)
    assert found.expected == "at most 192 MB, unpacked"


PARTS = [
    SHEET,
    "xl/styles.xml",
    "xl/workbook.xml",
    "[Content_Types].xml",
    "xl/_rels/workbook.xml.rels",
]
BROKEN = {
    "cut short": lambda content: content[: len(content) // 2],
    "another text": lambda _: b"hello",
    "not there": lambda _: None,
    "an entity without an end": lambda content: (
        b'<!DOCTYPE a [<!ENTITY b "&b;">]>'
        + content.rpartition(b"?>")[2].replace(b"><", b">&b;<", 1)
    ),
}


@pytest.mark.parametrize("how", BROKEN)
@pytest.mark.parametrize("part", PARTS)
def test_a_broken_part_is_refused_and_is_no_fault_of_ours(tmp_path, part, how):
    if (part, how) == ("xl/styles.xml", "not there"):  # a workbook need not have styles
        assert bounded(patched(tmp_path / "parts.xlsx", part, BROKEN[how]))[0].name == "Parts"
        return
    found = bounded(patched(tmp_path / "parts.xlsx", part, BROKEN[how]))
    assert found.file.startswith("parts.xlsx")
    if part == SHEET:
        assert found.file == "parts.xlsx, sheet “Parts”"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'r="A2"', b'r="A2" s="x"'),
        (b'r="A2"', b'r="ZZZZZZ2"'),
        (b"<v>1</v>", b"<v>nan</v>"),
        (b"<v>1</v>", b"<v>" + b"9" * 5000 + b"</v>"),
        (b'<row r="2"', b'<row r="2e400"'),
    ],
)
def test_a_broken_cell_is_refused_with_its_row(tmp_path, old, new):
    found = bounded(
        patched(tmp_path / "parts.xlsx", SHEET, lambda content: content.replace(old, new, 1))
    )
    assert found.file == "parts.xlsx, sheet “Parts”"
    assert found.expected == "cells as a spreadsheet writes them"
    assert found.row in {2, 3}


def test_a_number_of_a_style_that_is_not_there_is_refused(tmp_path):
    found = bounded(
        patched(
            tmp_path / "parts.xlsx",
            SHEET,
            lambda content: content.replace(b'<c r="C3"', b'<c r="C3" s="999"'),
        )
    )
    assert (found.row, found.expected) == (3, "a style that the workbook has")


def test_what_is_beside_the_rows_and_not_read_breaks_nothing(tmp_path):
    odd = (
        b'<conditionalFormatting sqref="zz"><cfRule type="x"/></conditionalFormatting>'
        b'<dataValidations count="x"><dataValidation sqref="q" type="zzz"/></dataValidations>'
    )
    (sheet,) = bounded(patched(tmp_path / "parts.xlsx", SHEET, after_the_rows(odd)))
    assert len(sheet.rows) == 6


def test_a_number_beyond_all_limits_is_no_value(tmp_path):
    path = patched(
        tmp_path / "parts.xlsx",
        SHEET,
        lambda content: content.replace(b"<v>1</v>", b"<v>1e999</v>"),
    )
    (sheet,) = bounded(path)
    assert sheet.unread == {(2, 2): "a number beyond all limits"}
    assert sheet.rows[2][2] == ""


def test_broken_properties_are_refused(tmp_path):
    path = lay(tmp_path / "parts.xlsx", plain())
    with zipfile.ZipFile(path, "a") as book:
        book.writestr("docProps/custom.xml", b"<a")
    assert len(read_book(path)) == 1
    with pytest.raises(FolderError, match="a workbook whose properties can be read"):
        book_property(path, "state")


def test_a_pipe_is_no_workbook_and_nobody_waits(tmp_path):
    import os

    os.mkfifo(tmp_path / "parts.xlsx")
    assert "a pipe, not a file" in bounded(tmp_path / "parts.xlsx").found


def test_a_link_that_the_user_named_is_followed(tmp_path):
    lay(tmp_path / "real.xlsx", plain())
    (tmp_path / "parts.xlsx").symlink_to("real.xlsx")
    assert bounded(tmp_path / "parts.xlsx")[0].name == "Parts"
