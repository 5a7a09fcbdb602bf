"""Spreadsheets as producers keep them: hidden columns, prices under one heading, marked cells.

Each sheet is laid out cell by cell, and what it means is written beside it by hand.
"""

import pytest

from importer.sheets import csv_file, meanings, xlsx_file
from sixwright.importer.guess import guess_parts

HEADED = [
    ["", "", "Unit price at", "", "", "Boxes", "", ""],
    ["No.", "Part name", 300, 500, 1000, "Day", "Long Day", "Quote till"],
    [1, "Head, stern", 19.5, 18, 16.5, 1, 1, "2027-03-31"],
    [2, "Open hand", 4.6, 4.4, 4, 1, 2, "2027-03-31"],
    [3, "Wrist peg", 0.35, 0.32, 0.28, 4, 12, "2027-03-31"],
]


def merged(_book, sheet):
    sheet.merge_range(0, 2, 0, 4, "Unit price at")
    sheet.merge_range(0, 5, 0, 6, "Boxes")


def prices(guess) -> dict[tuple[str, str], str]:
    return {(row["way"], row["from_quantity"]): row["unit_price"] for row in guess.tables.prices}


@pytest.mark.parametrize("edit", [merged, None], ids=["merged", "with blanks after it"])
def test_breaks_and_boxes_are_read_under_a_common_heading(tmp_path, edit):
    guess = guess_parts(xlsx_file(tmp_path, HEADED, edit=edit), {}, currency="USD")
    assert list(guess.tables.editions.values()) == ["Day", "Long Day"]
    assert prices(guess)["head-stern-way", "500"] == "18"
    assert len(guess.tables.prices) == 9
    assert {way["valid_until"] for way in guess.tables.ways} == {"2027-03-31"}
    assert meanings(guess)["No."] == "keep"


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("Unit price (500)", "500"),
        ("from 500", "500"),
        ("Price from 1,000 pcs", "1000"),
        ("Price @ 1.000", "1000"),
        ("1'000+", "1000"),
        ("≥ 300", "300"),
        ("Cost (CNY) at MOQ 300", "300"),
    ],
)
def test_a_quantity_in_a_columns_name_is_a_price_break(tmp_path, name, start):
    rows = [["Part", name, "A box"], ["Head", 17, 1], ["Body", 264, 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows), {}, currency="CNY")
    assert prices(guess) == {("head-way", start): "17", ("body-way", start): "264"}


@pytest.mark.parametrize(
    "name", ["Quote till", "Price valid until", "Valid to", "Offer expiry", "Quotes until"]
)
def test_the_last_day_of_a_quote_goes_by_many_names(tmp_path, name):
    rows = [["Part", "Price", name, "A box"], ["Head", 17, "2027-03-31", 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows), {}, currency="CNY")
    assert guess.tables.ways[0]["valid_until"] == "2027-03-31"


def test_a_column_of_prices_is_no_box_whatever_its_numbers(tmp_path):
    rows = [["Part", "Day", "Old price", "Points"]]
    rows += [[f"Head {i}", 1, value, value] for i, value in enumerate([4, 4, 5, 2, 250, 17, 3, 4])]
    guess = guess_parts(xlsx_file(tmp_path, rows), {}, currency="CNY")
    assert list(guess.tables.editions.values()) == ["Day"]
    assert meanings(guess)["Old price"] == meanings(guess)["Points"] == "keep"


def hide(*, columns: str = "", rows: tuple[int, ...] = ()):
    def edit(_book, sheet):
        if columns:
            sheet.set_column(columns, None, None, {"hidden": True})
        for row in rows:
            sheet.set_row(row, None, None, {"hidden": True})

    return edit


BOXES = [
    ["Part", "Day", "Night", "Price"],
    ["Head", 1, 2, 17],
    ["Body", 1, 1, 264],
    ["Key", 4, 9, 1],
]


def test_what_is_hidden_is_said_and_nothing_is_taken_from_it(tmp_path):
    path = xlsx_file(tmp_path, BOXES, edit=hide(columns="C:C", rows=(2,)))
    guess = guess_parts(path, {}, currency="USD")
    assert list(guess.tables.editions.values()) == ["Day"]
    assert [part["name"] for part in guess.tables.parts] == ["Head", "Key"]
    said = " ".join(guess.says())
    assert "Column C, “Night”, is hidden in the spreadsheet: nothing is taken from it" in said
    assert "Row 3 is hidden in the spreadsheet: nothing is taken from there" in said


def test_what_is_hidden_is_read_where_the_producer_says_so(tmp_path):
    path = xlsx_file(tmp_path, BOXES, edit=hide(columns="C:C", rows=(2,)))
    whole = guess_parts(path, {}, currency="USD", hidden=True)
    assert list(whole.tables.editions.values()) == ["Day", "Night"]
    assert len(whole.tables.parts) == 3
    named = guess_parts(path, {"Night": "box Night"}, currency="USD")
    assert list(named.tables.editions.values()) == ["Day", "Night"]
    assert len(named.tables.parts) == 2


FORMATS = {
    "¥#,##0.00": "CNY",
    '"¥"#,##0.00': "CNY",
    "[$¥-804]#,##0.00": "CNY",
    "[$¥-411]#,##0": "JPY",
    "[$CNY] #,##0.00": "CNY",
    "#,##0.00 [$CNY]": "CNY",
    '#,##0.00" RMB"': "CNY",
    "[$€-2] #,##0.00": "EUR",
    '#,##0.00\\ "€"': "EUR",
    "[$£-809]#,##0.00": "GBP",
    "[$$-409]#,##0.00": "USD",
    "[$HKD] #,##0.00": "HKD",
}


@pytest.mark.parametrize("shown", FORMATS)
def test_cells_shown_in_a_currency_are_in_it(tmp_path, shown):
    def edit(book, sheet):
        for row, price in ((1, 17), (2, 264)):
            sheet.write_number(row, 1, price, book.add_format({"num_format": shown}))

    rows = [["Part", "Price", "A box"], ["Head", None, 1], ["Body", None, 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows, edit=edit), {}, currency="USD")
    assert [way["currency"] for way in guess.tables.ways] == [FORMATS[shown]] * 2
    assert sorted(prices(guess).values()) == ["17", "264"]


def test_one_marked_cell_is_a_matter_of_that_cell_alone(tmp_path):
    """A column of 46 yuan prices, one of which is typed as $0.80."""
    text = "Part,Cur.,Price,A box\n" + "".join(f"Part {i} head,CNY,{i + 1},1\n" for i in range(45))
    guess = guess_parts(csv_file(tmp_path, text + "Odd head,CNY,$0.80,1\n"), {}, currency="USD")
    assert len(guess.tables.prices) == 45
    assert guess.tables.parts[-1]["note"] == "Price: $0.80"
    assert any("row 47: kept in the note, because it is marked $" in said for said in guess.says())


def test_a_column_of_currencies_goes_before_a_columns_name(tmp_path):
    text = "Part,Price (USD),Cur.,A box\nHead,17,CNY,1\nBody,3,,1\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="EUR")
    assert [way["currency"] for way in guess.tables.ways] == ["CNY", "USD"]


def test_a_columns_name_goes_before_a_title(tmp_path):
    text = "All prices in EUR,,\n\nPart,Price (CNY),A box\nHead,17,1\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="USD")
    assert guess.tables.ways[0]["currency"] == "CNY"


def test_an_import_without_prices_says_so_first(tmp_path):
    guess = guess_parts(csv_file(tmp_path, "Part,A box\nHead,1\n"), {}, currency="USD")
    assert guess.says()[0].endswith(
        "1 part in 1 box; no prices were found, so nothing can be said of money yet."
    )


@pytest.mark.parametrize(
    ("cells", "start"), [((18, 1650, 15), "500"), ((19.5, 18, 0.165), "1000"), ((19, 18, 9), None)]
)
def test_a_price_far_from_its_neighbours_is_asked_about(tmp_path, cells, start):
    rows = [["Part", "300+", "500+", "1000+", "A box"], ["Head", *cells, 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows), {}, currency="CNY")
    asked = [said for said in guess.says() if "decimal mark was lost" in said]
    assert len(asked) == (start is not None)
    assert all(f"its price from {start} pieces on" in said for said in asked)
    assert len(guess.tables.prices) == 3


@pytest.mark.parametrize(
    ("said", "group"), [("• Boots", "boots"), ("– Long boots", "long-boots"), ("—", "")]
)
def test_a_mark_before_a_group_is_no_part_of_its_id(tmp_path, said, group):
    rows = [
        ["Part", "Kind", "Group", "A box"],
        ["Boot", "shoe", said, 1],
        ["Cap", "garment", "", 1],
    ]
    (part, _) = guess_parts(xlsx_file(tmp_path, rows), {}, currency="USD").tables.parts
    assert part["group"] == group
