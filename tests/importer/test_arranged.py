"""Parts over two sheets, and a row for each part of each box: the same line as from one sheet."""

import csv
import io
from datetime import date

import openpyxl
import pytest

from importer.sheets import csv_file
from sixwright.importer.guess import guess_parts
from sixwright.importer.new_line import files_of

LONG = """\
Box,Part,Type,Qty,Unit cost,Supplier
Harbour,"Head, calm",head,1,2.10,Orr
Harbour,Body,body,1,31,Orr
,Rope,prop,2,0.30,Orr
Harbour Deluxe,"Head, calm",head,1,2.10,Orr
Harbour Deluxe,"Head, singing",head,1,2.30,Orr
Harbour Deluxe,Body,body,1,33,Orr
Harbour Deluxe,Rope,prop,1,0.30,Orr
Harbour Deluxe,Rope,prop,3,0.30,Orr
Harbour Deluxe,Boat hook,prop,?,4.40,Tarn
"""
WIDE = """\
Part,Type,Unit cost,Supplier,Harbour,Harbour Deluxe
"Head, calm",head,2.10,Orr,1,1
Body,body,31,Orr,1,1
Rope,prop,0.30,Orr,2,4
"Head, singing",head,2.30,Orr,,1
Boat hook,prop,4.40,Tarn,,?
"""


def tables(guess):
    files = files_of(guess, line="x", today=date(2026, 11, 28))
    return {name: sorted(map(str, csv.DictReader(io.StringIO(text))))
            for name, text in files.items() if name.endswith(".csv")}  # fmt: skip


def test_a_row_for_each_part_of_each_box_makes_the_line_that_a_column_a_box_makes(tmp_path):
    long = guess_parts(csv_file(tmp_path, LONG), {}, currency="USD")
    wide = guess_parts(csv_file(tmp_path, WIDE), {}, currency="USD")
    assert tables(long) == tables(wide)
    assert len(long.tables.parts) == 5
    assert long.tables.editions == {"harbour": "Harbour", "harbour-deluxe": "Harbour Deluxe"}


def test_what_it_was_arranged_like_is_said_and_where_rows_of_a_part_differ(tmp_path):
    said = guess_parts(csv_file(tmp_path, LONG), {}, currency="USD").remarks
    assert (
        "The sheet has a row for each part of each box: “Box” names 2 boxes, and “Qty” the "
        "pieces; each part is read once, where it stands first." in said
    )
    assert "Row 7 says other of “Body” than row 3: row 3 counts." in said
    assert "1 cell says “?” and stays unknown: row 10, “Harbour Deluxe”." in said


@pytest.mark.parametrize(
    "text",
    [
        WIDE,
        "Part,Type,Box,Qty\nHead,head,1,2\nBody,body,1,2\n",  # counts, not names, of boxes
        "Part,Type,Box,Qty\nHead,head,Harbour,2\nBody,body,Harbour,2\n",  # one box
    ],
)
def test_a_sheet_arranged_otherwise_is_left_as_it_is(tmp_path, text):
    said = guess_parts(csv_file(tmp_path, text), {}, currency="USD").remarks
    assert not any("for each part of each box" in each for each in said)


def book(tmp_path, quotes):
    made = openpyxl.Workbook()
    parts = made.active
    parts.title = "Parts"
    for row in [("Item", "Category", "Std", "Dlx"), ("Head A", "Head", 1, 1),
                ("Body", "Body", 1, 1), ("Lamp", "Light", None, 2)]:  # fmt: skip
        parts.append(row)
    other = made.create_sheet("Quotes")
    for row in [("Item", "Maker", "Price USD", "MOQ", "Good until"), *quotes]:
        other.append(row)
    made.save(tmp_path / "two.xlsx")
    return tmp_path / "two.xlsx"


QUOTES = [
    ("head a ", "Yard", 1.85, 300, "2027-03-31"),
    ("Lamp", "Lumen", 3.3, 200, ""),
    ("Body", "Yard", 26, 500, ""),
]


@pytest.mark.parametrize("sheet", ["Parts", "Quotes"])
def test_quotes_on_a_sheet_of_their_own_are_read_beside_the_parts(tmp_path, sheet):
    guess = guess_parts(book(tmp_path, QUOTES), {}, currency="USD", sheet=sheet)
    prices = {row["way"]: (row["from_quantity"], row["unit_price"]) for row in guess.tables.prices}
    assert prices == {"head-a-yard": ("300", "1.85"), "lamp-lumen": ("200", "3.3"),
                      "body-yard": ("500", "26")}  # fmt: skip
    counts = {(row["sells"], row["part"]): row["quantity"] for row in guess.tables.contents}
    assert counts == {("std", "head-a"): "1", ("dlx", "head-a"): "1", ("std", "body"): "1",
                      ("dlx", "body"): "1", ("dlx", "lamp"): "2"}  # fmt: skip
    other = {"Parts": "Quotes", "Quotes": "Parts"}[sheet]
    assert (
        f"The columns of sheet “{other}” are read beside it, by the names of the parts, and rows "
        f"are counted as in “{sheet}”." in guess.remarks
    )


def test_rows_of_another_sheet_that_are_no_parts_of_this_one_are_named(tmp_path):
    more = [*QUOTES, ("Oar", "Tarn", 1, 100, ""), ("Lamp", "Other", 9, 1, "")]
    guess = guess_parts(book(tmp_path, more), {}, currency="USD", sheet="Parts")
    assert any(
        each.endswith("left out are its row 3, “Lamp”; its row 5, “Oar”; its row 6, “Lamp”.")
        for each in guess.remarks
    )
    assert {row["way"] for row in guess.tables.prices} == {"head-a-yard", "body-yard"}


def test_a_sheet_of_other_things_is_not_joined(tmp_path):
    others = [("Paint", "Shop", 1, 1, ""), ("Glue", "Shop", 1, 1, ""), ("Body", "Yard", 2, 1, "")]
    guess = guess_parts(book(tmp_path, others), {}, currency="USD", sheet="Parts")
    assert guess.tables.prices == []
    assert any("left out: “Quotes”" in each for each in guess.remarks)


def test_of_two_columns_of_one_name_the_second_is_no_price_from_two_pieces_on(tmp_path):
    text = "Part,Type,Price,Price,Box A\nHead,head,3,4,1\nBoot,shoe,2,2.5,2\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="USD")
    assert {row["from_quantity"] for row in guess.tables.prices} == {"1"}
