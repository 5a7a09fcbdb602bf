"""A producer's own spreadsheet is read by its names and its content, and the guess is said."""

import csv
import io
import random
import tomllib
from datetime import date, datetime

import pytest
import xlsxwriter

from importer.sheets import csv_file, meanings, xlsx_file
from sixwright.importer.guess import guess_parts
from sixwright.importer.new_line import files_of
from sixwright.importer.words import HEADERS, KIND_OF_WORD, MEANINGS
from sixwright.kernel.errors import FolderError
from sixwright.line.boxes import KINDS

TODAY = date(2026, 9, 14)


def parts(guess) -> dict[str, dict[str, str]]:
    return {part["id"]: part for part in guess.tables.parts}


def contents(guess) -> dict[tuple[str, str], str]:
    return {(row["sells"], row["part"]): row["quantity"] for row in guess.tables.contents}


BILL = """\
A line of ours,,,,,,,,,,,,
,,,,,,,,,,,,
Part No,Description,Supplier,MOQ,Unit price (CNY),Tooling (CNY),Weight (g),Size (mm),Qty Watch,\
Long Watch,Shelf,Total,Remarks
B-01,Body,Yard,"1,200",264@500/239@800,"128,000",392,258x84x42,1,1,A7,2,
HD-1,Head level,Yard,300,17,12600,41,41x31x37,1,,007,1,paint last
HD-1,"Head, loud",Yard,300,tbc,12600,41,41x31,,1,=1+1,1,
PEG,Neck peg,Yard,,0.28,,0.3,,4,6,,10,
Total,,,,,,,,5,8,,14,
"""


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_a_bill_of_materials_is_read_in_any_delimiter_and_encoding(tmp_path, mark, encoding):
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=mark).writerows(csv.reader(io.StringIO(BILL)))
    guess = guess_parts(csv_file(tmp_path, out.getvalue(), encoding=encoding), {})
    assert guess.problems == ()
    assert guess.header_row == 3
    assert meanings(guess) == {
        "Part No": "id", "Description": "name", "Supplier": "maker", "MOQ": "minimum",
        "Unit price (CNY)": "price", "Tooling (CNY)": "tooling", "Weight (g)": "mass_g",
        "Size (mm)": "size_mm", "Qty Watch": "box", "Long Watch": "box", "Shelf": "keep",
        "Total": "keep", "Remarks": "note",
    }  # fmt: skip
    assert guess.currency == "CNY"
    assert guess.tables.editions == {"watch": "Watch", "long-watch": "Long Watch"}
    assert contents(guess) == {
        ("watch", "b-01"): "1", ("long-watch", "b-01"): "1", ("watch", "hd-1"): "1",
        ("long-watch", "hd-1-2"): "1", ("watch", "peg"): "4", ("long-watch", "peg"): "6",
    }  # fmt: skip
    assert [part["kind"] for part in guess.tables.parts] == ["body", "head", "head", "joint"]
    assert [part["Shelf"] for part in guess.tables.parts] == ["A7", "007", "=1+1", ""]
    prices = [tuple(row.values()) for row in guess.tables.prices]
    assert prices == [
        ("b-01-yard", "500", "264"), ("b-01-yard", "800", "239"), ("hd-1-yard", "300", "17"),
        ("peg-yard", "1", "0.28"),
    ]  # fmt: skip
    assert guess.tables.ways[0] == {
        "id": "b-01-yard", "part": "b-01", "currency": "CNY", "maker": "Yard",
        "tooling": "128000", "minimum": "1200",
    }  # fmt: skip


def test_the_guess_is_said_in_sentences(tmp_path):
    said = guess_parts(csv_file(tmp_path, BILL), {}).says()
    first = "parts.csv, sheet “parts”: row 3 names the columns; 4 parts in 2 boxes"
    assert said[0] == f"{first}; 3 of the parts have a price."
    for sentence in (
        (
            "Column “MOQ” is read as the least that can be ordered of each part, "
            "because its name says so."
        ),
        (
            "Column “Qty Watch” is read as the pieces of each part in the box “Watch”, "
            "because its cells are whole numbers from 1 to 4."
        ),
        (
            "Column “Shelf” is read as a column of your own, kept in parts.csv as it is, "
            "because neither its name nor its cells say what it is."
        ),
        "“HD-1” stands again in row 6; the id of that part is hd-1-2.",
        "Row 8, “Total”, is read as a total, not a part.",
        "Column “Size (mm)”, row 6: kept in the note, because it is not three lengths.",
        "Read as head, as their names say: “Head level”, “Head, loud”.",
        "The line is named “A line of ours”, as row 1 says.",
    ):
        assert sentence in said


def test_what_cannot_be_read_is_kept_in_the_note(tmp_path):
    guess = guess_parts(csv_file(tmp_path, BILL), {})
    assert parts(guess)["hd-1-2"]["note"] == "Size (mm): 41x31"
    assert parts(guess)["hd-1"]["note"] == "paint last"


def test_nothing_is_invented(tmp_path):
    text = "name,kind,Box A\nHead,head,1\nBody,body,1\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="USD")
    files = files_of(guess, line="x", today=TODAY)
    assert guess.tables.ways == guess.tables.prices == []
    stated = tomllib.loads(files["line.toml"])
    assert set(stated) == {"format", "id", "name", "scale", "currency", "editions"}
    assert stated["editions"] == [{"id": "a", "name": "A", "figures": 1}]  # one body is in it
    assert files["orders.csv"].splitlines()[1:] == ["a,,"]
    stated = {"id", "name", "kind"}
    assert [{k for k, v in part.items() if v} for part in guess.tables.parts] == [stated] * 2


def test_a_kind_that_nothing_states_is_asked_for_with_its_rows(tmp_path):
    text = "name,Box A\nHN-OP,2\nHead,1\nXK-9,1\n"
    path = csv_file(tmp_path, text)
    (problem,) = guess_parts(path, {}, currency="USD").problems
    assert problem.found == "2 parts of no stated kind: “HN-OP” (row 2), “XK-9” (row 4)"
    assert "--column NAME=kind" in problem.expected
    told = guess_parts(path, {}, currency="USD", kind="prop")
    assert told.problems == ()
    assert [part["kind"] for part in told.tables.parts] == ["prop", "head", "prop"]
    assert (
        "2 parts have the kind prop, because you say so and nothing states another: “HN-OP”, "
        "“XK-9”." in told.says()
    )


ESTONIAN = """\
Osa,Liik,Solo,Öö
"Pea, rahulik",Pea,1,1
"Pea, vali",Pea,,1
Ihu,Kehä,1,1
Villane,Pikk mantel,1,1
Karp,,1,1
"""
KINDS_TOLD = {"Pea": "head", "KEHÄ": "body", "pikk  mantel": "garment", "Karp": "packing"}


def test_words_for_kinds_that_are_not_ours_are_listed_in_one_message(tmp_path):
    path = csv_file(tmp_path, ESTONIAN)
    words, silent = guess_parts(path, {"Liik": "kind"}, currency="EUR").problems
    assert words.found == (
        "words that name none: “Pea” (rows 2, 3), “Kehä” (row 4), “Pikk mantel” (row 5)"
    )
    assert "--kind Pea=KIND for each word, KIND being one of head, hand," in words.expected
    assert silent.found == "1 part of no stated kind: “Karp” (row 6)"


def test_the_producer_says_what_words_for_kinds_mean(tmp_path):
    path = csv_file(tmp_path, ESTONIAN)
    guess = guess_parts(path, {"Liik": "kind"}, currency="EUR", kinds=KINDS_TOLD)
    assert guess.problems == ()
    kinds = [part["kind"] for part in guess.tables.parts]
    assert kinds == ["head", "head", "body", "garment", "packing"]


def test_the_kind_of_what_nothing_states_is_told_with_its_parts(tmp_path):
    path = csv_file(tmp_path, ESTONIAN)
    guess = guess_parts(path, {"Liik": "kind"}, currency="EUR", kind="prop", kinds={"Kehä": "body"})
    assert guess.problems == ()
    kinds = [part["kind"] for part in guess.tables.parts]
    assert kinds == ["prop", "prop", "body", "prop", "prop"]
    said = guess.says()
    assert (
        "4 parts have the kind prop, because you say so and nothing states another: "
        "“Pea, rahulik”, “Pea, vali”, “Villane”, “Karp”." in said
    )
    assert (
        "Not recognised as kinds: “Pea” (rows 2, 3), “Pikk mantel” (row 5); "
        "say --kind Pea=KIND for each." in said
    )


def test_a_wrong_word_or_kind_is_said_with_what_was_meant(tmp_path):
    path = csv_file(tmp_path, ESTONIAN)
    told = KINDS_TOLD | {"Peq": "head", "Pea": "heed"}
    guess = guess_parts(path, {"Liik": "kind"}, currency="EUR", kinds=told)
    assert [(p.key, p.found, p.suggestion) for p in guess.problems] == [
        ("--kind", "“heed”", "head"), ("--kind", "“peq”, which stands in none", "pea"),
    ]  # fmt: skip


GROUPED = [
    ["THE LAMPLIGHTER OF QUAY NINE"], ["prices in EUR"], ["2026-09-01"], [],
    ["Item", "cost", "Solo", "Night"],
    ["SCULPT"], ["Head, calm", 17, 1, 1],
    ["PROPS"], ["Lantern", 9.5, 1, 1], ["Oil can", 3, None, 1],
    ["CLOTH"], ["Coat", 31, 1, 1], ["Zipper pull", 0.2, 1, 1],
    [], ["Odds and ends"], ["Brass ring", 1, 1, 1], ["Crank"],
]  # fmt: skip


def test_a_row_with_a_name_alone_is_a_heading_where_headings_stand(tmp_path):
    guess = guess_parts(xlsx_file(tmp_path, GROUPED), {}, kind="prop")
    assert [(part["name"], part["kind"]) for part in guess.tables.parts] == [
        ("Head, calm", "head"), ("Lantern", "prop"), ("Oil can", "prop"), ("Coat", "garment"),
        ("Zipper pull", "prop"), ("Brass ring", "metal"), ("Crank", "prop"),
    ]  # fmt: skip
    said = guess.says()
    for row, text in ((11, "CLOTH"), (15, "Odds and ends")):
        assert (
            f"Row {row}, “{text}”, is read as a heading, not a part; it names no kind, so it says "
            "nothing of the parts below it." in said
        )
    assert any(
        line.startswith("Row 8, “PROPS”, is read as a heading, not a part: ") for line in said
    )
    assert any("“CLOTH” (heading of row 13)" in line for line in said)
    told = guess_parts(xlsx_file(tmp_path, GROUPED), {}, kind="prop", kinds={"cloth": "garment"})
    assert parts(told)["zipper-pull"]["kind"] == "garment"


def test_a_name_in_capitals_is_a_part_where_all_parts_are_in_capitals(tmp_path):
    rows = [["Item", "A box"], ["HEAD", 1], ["CRANK"], ["BODY", 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows), {}, currency="USD", kind="prop")
    assert [part["name"] for part in guess.tables.parts] == ["HEAD", "CRANK", "BODY"]


def test_titles_name_the_line_and_the_currency(tmp_path):
    guess = guess_parts(xlsx_file(tmp_path, GROUPED), {}, kind="prop")
    assert (guess.line, guess.currency) == ("THE LAMPLIGHTER OF QUAY NINE", "EUR")
    assert {way["currency"] for way in guess.tables.ways} == {"EUR"}
    said = guess.says()
    assert "The line is named “THE LAMPLIGHTER OF QUAY NINE”, as row 1 says." in said
    assert "Row 2 says “prices in EUR”: money that states no currency is read in EUR." in said
    assert (
        'name = "THE LAMPLIGHTER OF QUAY NINE"'
        in files_of(guess, line="x", today=TODAY)["line.toml"]
    )
    # Sold in another: the quotes stay in what the title says.
    sold = guess_parts(xlsx_file(tmp_path, GROUPED), {}, kind="prop", currency="USD")
    assert (sold.currency, {way["currency"] for way in sold.tables.ways}) == ("USD", {"EUR"})


@pytest.mark.parametrize(
    ("title", "name", "currency"),
    [
        ("The Lamplighter", "The Lamplighter", None),
        ("Lamplighter, all prices in CNY", "Lamplighter", "CNY"),
        ("Lamplighter (prices: usd)", "Lamplighter", "USD"),
        ("Preise in EUR", "Preise in EUR", "EUR"),
        ("prices in TRY", "", "TRY"),
        ("TOP of the tower", "TOP of the tower", None),
        ("ALL parts", "", None),
        ("Bill of materials, rev 3, September 2026", "", None),
        ("Parts list v2", "", None),
        ("01.09.2026", "", None),
        ("EUR", "", "EUR"),
        ("ask mara@quay.invalid", "", None),
        ("Please note:", "", None),
    ],
)
def test_a_title_is_a_name_or_a_currency_or_neither(tmp_path, title, name, currency):
    rows = [[title], [], ["Item", "cost", "Solo"], ["Head", 17, 1], ["Body", 26, 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows), {})
    assert (guess.line, guess.currency) == (name, currency)


def test_the_currency_is_asked_for_where_none_or_several_are_stated(tmp_path):
    none = guess_parts(csv_file(tmp_path, "name,price,tooling,A box\nHead,17,12600,1\n"), {})
    assert [(p.key, p.found) for p in none.problems] == [("--currency", "none in the sheet")]
    # That is all there is to say: the numbers can be read.
    assert not any("cannot be read" in said or "kept in the note" in said for said in none.says())
    two = "name,price EUR,tooling CNY,A box\nHead,17,100,1\n"
    asked = guess_parts(csv_file(tmp_path, two), {}).problems
    assert [(p.key, p.found) for p in asked] == [("--currency", "several in the sheet (CNY, EUR)")]
    told = guess_parts(csv_file(tmp_path, two), {}, currency="usd")
    assert (told.problems, told.currency) == ((), "USD")
    # The tooling is in another currency than the quote: it is kept, not converted.
    assert told.tables.ways[0]["currency"] == "EUR"
    assert "tooling" not in told.tables.ways[0]
    assert told.tables.parts[0]["note"] == "tooling CNY: 100"
    assert (
        "Column “tooling CNY”, row 2: kept in the note, because it is in CNY and the quote in EUR."
        in told.says()
    )
    wrong = guess_parts(csv_file(tmp_path, two), {}, currency="dollars")
    assert [problem.key for problem in wrong.problems] == ["--currency"]


def test_a_lone_column_of_money_is_spoken_of_as_one(tmp_path):
    one = guess_parts(csv_file(tmp_path, "name,cost,A box\nHead,17,1\n"), {}, currency="USD")
    assert (
        "“cost” states no currency and is read in USD, or in the currency that the rest of a row "
        'states; say --column "cost=price CNY" where it is in another.' in one.says()
    )
    assert any("its cells say 1 or nothing." in said for said in one.says())


def test_what_is_typed_for_another_currency_keeps_the_quantity_of_the_price(tmp_path):
    text = "name,from 500,A box\nHead,17,1\n"
    said = guess_parts(csv_file(tmp_path, text), {}, currency="USD").says()
    assert any('--column "from 500=price@500 CNY"' in each for each in said)


def test_the_producer_corrects_a_guess(tmp_path):
    text = "Stück,Teil,Nr,Preis,A,Colours\n5,Head,x,17,1,3\n6,Body,y,20,1,4\n"
    path = csv_file(tmp_path, text)
    told = {"teil": "name", "Stück": "minimum", "Preis": "price@500 CNY", "Colours": "keep",
            "A": "box Long Watch", "Nr": "ignore"}  # fmt: skip
    guess = guess_parts(path, told)
    assert guess.problems == ()
    assert meanings(guess) == {"Stück": "minimum", "Teil": "name", "Nr": "ignore",
                               "Preis": "price", "A": "box", "Colours": "keep"}  # fmt: skip
    assert guess.tables.editions == {"long-watch": "Long Watch"}
    assert guess.tables.prices[0] == {
        "way": "head-way", "from_quantity": "500", "unit_price": "17"
    }  # fmt: skip
    assert [part["Colours"] for part in guess.tables.parts] == ["3", "4"]
    assert "Nr" not in guess.tables.parts[0]
    said = "\n".join(guess.says())
    assert (
        "“Preis” is read as the price of one piece of each part from 500 pieces on, in CNY" in said
    )
    assert "because you say so" in said


def test_a_wrong_correction_is_said_with_what_was_meant(tmp_path):
    path = csv_file(tmp_path, BILL)
    guess = guess_parts(path, {"Unit prise": "price", "MOQ": "minimun", "Shelf": "price@x"})
    said = [str(problem) for problem in guess.problems]
    assert len(said) == 3
    assert "Did you mean “Unit price (CNY)”?" in said[0]
    assert "found “Unit prise”" in said[0]
    assert "Did you mean “minimum”?" in said[1]


@pytest.mark.parametrize(
    ("rows", "read"),
    [
        pytest.param(["1.250,50", "17"], ["1250.5", "17"], id="decimal comma"),
        pytest.param(["1,250.50", "17"], ["1250.5", "17"], id="decimal point"),
        pytest.param(["0,28", "1.250"], ["0.28", "1250"], id="a comma elsewhere decides"),
        pytest.param(["0.28", "1,250"], ["0.28", "1250"], id="a point elsewhere decides"),
        pytest.param(["1,234,567", "1,250"], ["1234567", "1250"], id="two commas decide"),
        pytest.param(["1.234.567", "1.250"], ["1234567", "1250"], id="two points decide"),
        pytest.param(["1’250", "1 250"], ["1250", "1250"], id="apostrophe and blank"),
        pytest.param(["€ 17", "17 EUR"], ["17", "17"], id="with a currency"),
        pytest.param(["1.250,5", "1,250.5"], ["1250.5", "1250.5"], id="each beyond doubt"),
        pytest.param(["0,5", "0.5", "1,250"], ["0.5", "0.5", None], id="at odds, so unknown"),
    ],
)
def test_numbers_typed_as_text_are_read_exactly(tmp_path, rows, read):
    lines = [f"Head {n};{text};1" for n, text in enumerate(rows)]
    path = csv_file(tmp_path, "\n".join(["name;price EUR;A box", *lines]))
    guess = guess_parts(path, {})
    by_way = {row["way"]: row["unit_price"] for row in guess.tables.prices}
    assert [by_way.get(f"head-{n}-way") for n in range(len(rows))] == read
    if None in read:
        assert parts(guess)["head-2"]["note"] == "price EUR: 1,250"


@pytest.mark.parametrize(
    ("header", "cell", "column", "value"),
    [
        ("Weight (g)", "12", "mass_g", "12"),
        ("Weight kg", "0.392", "mass_g", "392"),
        ("Mass", "12 g", "mass_g", "12"),
        ("Length (cm)", "2.58", "length_mm", "25.8"),
        ("Height in inches", "1.5", "height_mm", ""),
        ("Height (in)", "1.5", "height_mm", "38.1"),
        ("Size (cm)", "25.8 × 8.4 × 4.2", "width_mm", "84"),
        ("Size", "258x84x42 mm", "height_mm", "42"),
        ("Weight", "12", "mass_g", ""),
        ("Weight (oz)", "12", "mass_g", ""),
    ],
)
def test_a_measure_is_read_only_with_its_unit(tmp_path, header, cell, column, value):
    path = csv_file(tmp_path, f'name,A box,"{header}"\nHead,1,{cell}\n')
    guess = guess_parts(path, {}, currency="USD")
    part = guess.tables.parts[0]
    assert part.get(column, "") == value
    if not value:
        assert part[header] == cell


@pytest.mark.parametrize(
    ("cells", "meaning"),
    [
        (["head", "hand", "Body", "prop", "?"], "kind"),
        (["CNY", "EUR", "cny"], "currency"),
        (["17@300/14.2@500", "264 @ 500; 239 @ 800", "9@1,000"], "price"),
        (["258x84x42 mm", "41 × 31 × 37 mm"], "size_mm"),
        (["12 g", "3.5 g"], "mass_g"),
        (["0.4 kg", "1 kg"], "mass_kg"),
        (["0", "1", "4", "x", "-"], "box"),
        (["1", "2", "3", "4", "5"], "keep"),
        (["300", "500", "400"], "keep"),
        (["0.5", "1", "2"], "keep"),
        (["26", "4", "21"], "keep"),
        (["12", "1", "4", "1", "17"], "box"),
        (["A7", "007", "1e5"], "keep"),
    ],
)
def test_a_column_whose_name_says_nothing_is_read_by_its_content(tmp_path, cells, meaning):
    rows = [f"Head {n}\t{cell}" for n, cell in enumerate(cells)]
    path = csv_file(tmp_path, "\n".join(["Name\tQx", *rows]))
    guess = guess_parts(path, {}, currency="USD")
    assert meanings(guess) == {"Name": "name", "Qx": meaning}


@pytest.mark.parametrize(
    ("header", "cell", "column", "value"),
    [
        ("Yield", "82%", "yield", "0.82"),
        ("Yield", "82", "yield", "0.82"),
        ("Yield", "0.82", "yield", "0.82"),
        ("Yield", "0", "yield", None),
        ("Lead time (weeks)", "6", "lead_days", "42"),
        ("Lead time (days)", "45", "lead_days", "45"),
        ("Lead time", "45", "lead_days", None),
        ("Assembly (min)", "7.5", "minutes", "7.5"),
        ("Painting minutes", "28 min", "minutes", "28"),
        ("Assembly", "7", "minutes", None),
        ("MOQ", "1 000 pcs", "minimum", "1000"),
        ("MOQ", "10.5", "minimum", None),
        ("Tool", "Tool A", "tool", "tool-a"),
        ("Valid until", "31.03.2027", "valid_until", "2027-03-31"),
        ("Valid until", "03/31/2027", "valid_until", "2027-03-31"),
        ("Valid until", "31/03/2027", "valid_until", "2027-03-31"),
        ("Valid until", "04/04/2027", "valid_until", "2027-04-04"),
        ("Valid until", "31/02/2027", "valid_until", None),
        ("Currency", "rmb", "currency", "CNY"),
        ("Currency", "$", "currency", None),
    ],
)
def test_the_cells_of_a_quote_are_read_or_kept_as_they_stand(tmp_path, header, cell, column, value):
    path = csv_file(tmp_path, f'name,Maker,A box,"{header}"\nHead,Yard,1,{cell}\n')
    guess = guess_parts(path, {}, currency="USD")
    assert guess.tables.ways[0].get(column) == value
    part = guess.tables.parts[0]
    if value is None:
        assert part.get(header) == cell or part["note"] == f"{header}: {cell}"


@pytest.mark.parametrize(
    ("header", "cell", "currency", "read"),
    [
        ("Price ($)", "17", "USD", ("17", "USD")),
        ("Price", "$17", "AUD", ("17", "AUD")),
        ("Price ($)", "17", "CNY", None),
        ("Price", "$17", "CNY", None),
        ("Price (¥)", "17", "USD", ("17", "CNY")),  # yuan, as is usual in the trade, and said
        ("Price", "¥17", "USD", ("17", "CNY")),
        ("Price", "¥17", "CNY", ("17", "CNY")),
        ("Price", "¥17", "JPY", ("17", "JPY")),
        ("Price", "€17", "USD", ("17", "EUR")),
        ("Price", "17", "USD", ("17", "USD")),
    ],
)
def test_a_mark_of_several_currencies_is_not_taken_for_another(
    tmp_path, header, cell, currency, read
):
    path = csv_file(tmp_path, f"name;A box;{header}\nHead;1;{cell}\n")
    guess = guess_parts(path, {}, currency=currency)
    way = guess.tables.ways[0]["currency"]
    assert [(row["unit_price"], way) for row in guess.tables.prices] == ([read] if read else [])
    if read is None:
        assert guess.tables.parts[0]["note"] == f"{header}: {cell}"
        assert any("$ in it, which stands for several currencies" in said for said in guess.says())
    elif "¥" in header + cell and currency == "USD":
        assert any("is marked ¥ and is read in CNY" in said for said in guess.says())


def test_a_quote_whose_currency_cell_is_unclear_states_no_money(tmp_path):
    text = "name,Currency,Price,A box\nHead,$,17,1\nBody,CNY,264,1\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="USD")
    assert [row["way"] for row in guess.tables.prices] == ["body-way"]
    assert parts(guess)["head"]["note"] == "Currency: $\nPrice: 17"


def test_a_currency_is_read_from_the_format_of_the_cells(tmp_path):
    def edit(book, sheet):
        for row, form in ((1, "[$¥-804]#,##0.00"), (2, "[$¥-804]#,##0.00")):
            sheet.write_number(row, 2, 17.5, book.add_format({"num_format": form}))

    rows = [["name", "A box", "Price"], ["Head", 1], ["Body", 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows, edit=edit), {})
    assert guess.currency == "CNY"
    assert guess.tables.prices[0]["unit_price"] == "17.5"


def test_prices_by_quantity_in_columns_of_their_own(tmp_path):
    text = "name,MOQ,Price @ 500,1000+,Price (USD),A box\nHead,300,14.2,12.9,17,1\n"
    guess = guess_parts(csv_file(tmp_path, text), {})
    assert [(row["from_quantity"], row["unit_price"]) for row in guess.tables.prices] == [
        ("300", "17"), ("500", "14.2"), ("1000", "12.9"),
    ]  # fmt: skip


def test_a_workbook_with_merged_cells_headings_dates_and_totals(tmp_path):
    def edit(book, sheet):
        sheet.merge_range("A1:F1", "Bill of materials")
        sheet.merge_range("A4:F4", "HEADS")
        sheet.merge_range("B5:B6", "Yard")
        sheet.merge_range("D5:D6", 12600)
        date_format = book.add_format({"num_format": "dd/mm/yyyy"})
        sheet.write_datetime("E5", datetime(2027, 3, 31), date_format)  # noqa: DTZ001
        sheet.write_string("G5", "007")
        sheet.write_string("G6", "=HYPERLINK(1)")

    rows = [
        [], [],
        ["Part", "Maker", "Watch", "Mould cost CNY", "Valid until", "Long Watch", "Shelf"],
        [], ["M1", None, 1, None, None, 1], ["M2", None, None, None, "03/04/2027", 1],
        [], ["Total", None, 1, None, None, 2],
    ]  # fmt: skip
    guess = guess_parts(xlsx_file(tmp_path, rows, edit=edit), {})
    assert guess.problems == ()
    assert [part["kind"] for part in guess.tables.parts] == ["head", "head"]
    assert [way["maker"] for way in guess.tables.ways] == ["Yard", "Yard"]
    # One number in a merged cell may be shared; it is not counted twice.
    assert [way.get("tooling") for way in guess.tables.ways] == ["12600", None]
    assert [way.get("valid_until") for way in guess.tables.ways] == ["2027-03-31", None]
    assert parts(guess)["m2"]["note"] == "Valid until: 03/04/2027"
    assert [part["Shelf"] for part in guess.tables.parts] == ["007", "'=HYPERLINK(1)"]
    said = "\n".join(guess.says())
    assert "Row 4, “HEADS”, is read as a heading, not a part: the parts below it are of" in said
    assert (
        "“Mould cost CNY”, row 6: unknown, because it is part of one cell merged with row 5" in said
    )
    assert "Row 8, “Total”, is read as a total, not a part." in said


def test_a_formula_counts_with_its_last_value_and_without_one_is_unknown(tmp_path):
    from openpyxl import Workbook

    def edit(book, sheet):
        sheet.write_formula("B2", "=1+1", None, 2)

    read = guess_parts(xlsx_file(tmp_path, [["name", "A box"], ["Head"]], edit=edit), {},
                       currency="USD")  # fmt: skip
    assert contents(read) == {("a", "head"): "2"}
    book = Workbook()
    for row in (["name", "A box"], ["Head", "=1+1"], ["Body", 1]):
        book.active.append(row)
    book.save(tmp_path / "bare.xlsx")
    bare = guess_parts(tmp_path / "bare.xlsx", {}, currency="USD")
    assert contents(bare) == {("a", "head"): "", ("a", "body"): "1"}
    assert (
        "Column “A box”, row 2: unknown, "
        "because it is a formula whose value the file does not hold." in bare.says()
    )


def test_the_sheet_that_lists_parts_is_chosen_and_the_others_are_said(tmp_path):
    path = tmp_path / "book.xlsx"
    book = xlsxwriter.Workbook(path)
    book.add_worksheet("Cover").write(0, 0, "Hello")
    for name, rows in (
        ("Dates", [["Task", "Days"], ["Tools", 35], ["Test shot", 7], ["Sea", 30]]),
        ("BOM", [["Part", "Maker", "MOQ", "A box"], ["Head", "Yard", 300, 1]]),
        ("old BOM", [["Part", "Maker", "MOQ", "A box"]] + [["Head", "Yard", 300, 1]] * 9),
    ):
        sheet = book.add_worksheet(name)
        for at, row in enumerate(rows):
            sheet.write_row(at, 0, row)
        if name == "old BOM":
            sheet.hide()
    book.close()
    guess = guess_parts(path, {}, currency="USD")
    assert guess.sheet == "BOM"
    assert (
        "Sheet “BOM” is read, because it looks most like a list of parts; left out: “Cover”, "
        "“Dates”, “old BOM” (hidden)." in guess.says()
    )
    assert len(guess_parts(path, {}, currency="USD", sheet="old BOM").tables.parts) == 9
    with pytest.raises(FolderError, match=r"one of the sheets “Cover”.* found “BOMM”"):
        guess_parts(path, {}, sheet="BOMM")


@pytest.mark.parametrize("word", ["Total", "GRAND TOTAL:", "Sum", "Summe", "合计"])
def test_a_row_of_totals_is_no_part(tmp_path, word):
    text = f"No,name,A box\n1,Head,1\n2,Body,1\n{word},,2\n,{word},2\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="USD")
    assert [part["name"] for part in guess.tables.parts] == ["Head", "Body"]
    assert meanings(guess)["No"] == "keep"


def test_formats_far_below_the_table_cost_nothing(tmp_path):
    def edit(book, sheet):
        sheet.write_blank(1_048_575, 200, None, book.add_format({"bold": True}))

    rows = [["name", "A box"], ["Head", 1]]
    guess = guess_parts(xlsx_file(tmp_path, rows, edit=edit), {}, currency="USD")
    assert len(guess.columns) == 2


def test_a_total_that_the_rows_do_not_reach_is_said(tmp_path):
    text = "name,A box\nHead,1\nBody,1\nTotal,3\n"
    guess = guess_parts(csv_file(tmp_path, text), {}, currency="USD")
    assert "Row 4 states 3 pieces in “A”; the rows read add up to 2." in guess.says()
    right = guess_parts(csv_file(tmp_path, text.replace("3", "2")), {}, currency="USD")
    assert not any("add up" in said for said in right.says())


def test_pieces_unknown_optional_and_none_are_told_apart(tmp_path):
    rows = ["Head,?", "Body,1 (opt.)", "Boot,-", "Cape,0", "Key,x", "Mask,lots", *["Hand,2"] * 9]
    guess = guess_parts(csv_file(tmp_path, "\n".join(["name,A box", *rows])), {}, currency="USD")
    found = {row["part"]: (row["quantity"], row["optional"]) for row in guess.tables.contents}
    assert {part: found[part] for part in ("head", "body", "key", "mask", "hand")} == {
        "head": ("", ""), "body": ("1", "yes"), "key": ("1", ""), "mask": ("", ""),
        "hand": ("2", ""),
    }  # fmt: skip
    assert {"boot", "cape"} & set(found) == set()
    assert parts(guess)["mask"]["note"] == "A box: lots"


@pytest.mark.parametrize("name", ["parts.xls", "parts.txt", "none.csv", "empty.csv", "fake.xlsx"])
def test_a_file_that_lists_no_parts_is_refused(tmp_path, name):
    content = {
        "parts.xls": b"\xd0\xcf",
        "parts.txt": b"\0\1\2",
        "empty.csv": b"",
        "fake.xlsx": b"a",
    }
    if name in content:
        (tmp_path / name).write_bytes(content[name])
    with pytest.raises(FolderError, match=name):
        guess_parts(tmp_path / name, {})


def test_every_kind_has_words_and_every_header_a_meaning():
    assert set(KIND_OF_WORD.values()) == set(KINDS)
    measures = {"lead", "time", "mass", "size", "length", "width", "height"}
    assert {meaning for meaning, _ in HEADERS} <= set(MEANINGS) | measures


@pytest.mark.parametrize(
    ("cell", "hazards", "note"),
    [
        ("magnet small-part", "magnet small-part", ""),
        ("Small part, Magnets", "magnet small-part", ""),
        ("sharp; cord", "sharp cord", ""),
        ("none", "none", ""),
        ("None", "none", ""),
        ("", "", ""),
        ("-", "", ""),
        ("ask the caster", "", "Hazards: ask the caster"),
        ("magnet, none", "", "Hazards: magnet, none"),
    ],
)
def test_what_can_hurt_is_read_in_our_words_or_kept_as_it_stands(tmp_path, cell, hazards, note):
    sheet = csv_file(tmp_path, f'Part,Kind,Hazards,Watch\nDisc,base,"{cell}",1\nBody,body,,1\n')
    guess = guess_parts(sheet, {}, currency="USD")
    assert meanings(guess)["Hazards"] == "hazards"
    found = parts(guess)["disc"]
    assert (found.get("hazards", ""), found["note"]) == (hazards, note)


def test_sixty_parts_in_eight_boxes_come_in_with_every_quantity(tmp_path):
    # The sheet is made from a seeded table of numbers, by xlsxwriter, and compared with that table.
    draw = random.Random(6)  # noqa: S311  a table of numbers, no secret
    boxes = ["MW", "ML", "LW", "LL", "SET", "Press kit", "Show only", "Spares 2"]
    nouns = ["head", "hand", "body", "coat", "boot", "lantern", "key", "mask", "peg", "plinth",
             "lamp", "stand", "tray"]  # fmt: skip
    table = [
        [f"Item {n:02d} {nouns[n % len(nouns)]}",
         *[draw.choice([0, 0, 1, 1, 2, 4, 17]) for _ in boxes]]
        for n in range(60)
    ]  # fmt: skip

    def shown(number):
        return draw.choice([number, str(number), float(number)]) if number else draw.choice(
            [None, 0, "-", ""])  # fmt: skip

    rows = [["Bill of materials"], [], ["Pos", "Component", *boxes, "Qty total", "Where"]]
    for n, (name, *numbers) in enumerate(table, 1):
        rows.append([n, name, *map(shown, numbers), sum(numbers), f"bin {n:03d}"])
        if n % 9 == 0:
            rows.append([])
    rows.append(["TOTAL", None, *[sum(row[b] for row in table) for b in range(1, 9)]])
    guess = guess_parts(xlsx_file(tmp_path, rows), {}, currency="USD")
    assert guess.problems == ()
    assert list(guess.tables.editions.values()) == boxes
    box_of = guess.tables.editions
    name_of = {part["id"]: part["name"] for part in guess.tables.parts}
    read = {
        (name_of[part], box_of[box]): quantity for (box, part), quantity in contents(guess).items()
    }
    assert read == {
        (name, box): str(number)
        for name, *numbers in table
        for box, number in zip(boxes, numbers, strict=True)
        if number
    }
    assert len(read) > 250
    assert [part["Where"] for part in guess.tables.parts] == [f"bin {n:03d}" for n in range(1, 61)]
    assert not any("add up" in said for said in guess.says())


def test_ten_thousand_rows_are_read(tmp_path):
    rows = [["Part", "Maker", "MOQ", "Price CNY", "A", "B"]]
    rows += [[f"Head {n}", "Yard", 300, 0.25, n % 3, 1] for n in range(10_000)]
    guess = guess_parts(xlsx_file(tmp_path, rows), {})
    assert len(guess.tables.parts) == len(guess.tables.prices) == 10_000
    assert sum(int(row["quantity"]) for row in guess.tables.contents) == 9_999 + 10_000


def test_the_demo_line_listed_as_its_producer_would_comes_in_whole(tmp_path):
    # The sheet is laid out here from the demo's files as text, and compared with those files.
    from architecture.reading import ROOT

    def rows(table):
        with (ROOT / f"examples/sluice-keeper/{table}.csv").open(
            encoding="utf-8", newline=""
        ) as file:
            return list(csv.DictReader(file))

    held = {(row["sells"], row["part"]): row["quantity"] for row in rows("contents")}
    boxes = list(dict.fromkeys(box for box, _ in held))
    ways = {row["id"]: row for row in rows("ways")}
    stairs: dict[str, list[str]] = {}
    for row in rows("prices"):
        stairs.setdefault(row["way"], []).append(f"{row['unit_price']}@{row['from_quantity']}")
    demo = [part for part in rows("parts") if part["way"]]
    sheet = [["Ref", "Item", "Type", "Made by", "How", "Cur", "MOQ", "Quote", "g", "mm", *boxes]]
    for part in demo:
        way = ways[part["way"]]
        sides = "x".join(part[side] for side in ("length_mm", "width_mm", "height_mm"))
        sheet.append([
            part["id"].upper(), part["name"], part["kind"], way["maker"], way["process"],
            way["currency"], int(way["minimum"]), "/".join(stairs[way["id"]]),
            float(part["mass_g"]), sides,
            *[int(held.get((box, part["id"]), 0)) or None for box in boxes],
        ])  # fmt: skip
    guess = guess_parts(xlsx_file(tmp_path, sheet), {}, currency="USD")
    assert guess.problems == ()
    assert contents(guess) == held
    assert [part["kind"] for part in guess.tables.parts] == [part["kind"] for part in demo]
    for column in ("mass_g", "length_mm", "width_mm", "height_mm"):
        read = [float(part[column]) for part in guess.tables.parts]
        assert read == [float(part[column]) for part in demo]
    part_of = {way["id"]: way["part"] for way in guess.tables.ways}
    read_prices = {
        (part_of[row["way"]], row["from_quantity"], float(row["unit_price"]))
        for row in guess.tables.prices
    }
    chosen = {part["way"]: part["id"] for part in demo}
    assert read_prices == {
        (chosen[row["way"]], row["from_quantity"], float(row["unit_price"]))
        for row in rows("prices")
        if row["way"] in chosen
    }
