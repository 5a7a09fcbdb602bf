"""A line goes out to a workbook and comes back unchanged; an edited one as the edits made."""

import zipfile
from dataclasses import dataclass
from datetime import UTC, date, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from sixwright.importer.new_line import new_line
from sixwright.kernel.errors import FolderError, InputError
from sixwright.project.records import Change, Record, Records
from sixwright.project.tables import TABLES
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.storage.workbooks.export import checksum, to_xlsx
from sixwright.storage.workbooks.take_back import from_xlsx, take


@dataclass(frozen=True)
class Tables:
    records: Records


def line_of(tables: dict[str, list[dict[str, str]]]) -> Tables:
    keys = {table.name: table.key for table in TABLES}
    records: dict[str, dict[str, Record]] = {}
    for name, rows in tables.items():
        ids = ["/".join(row[key] for key in keys[name]) or name for row in rows]
        records[name] = {id_: Record(name, id_, row) for id_, row in zip(ids, rows, strict=True)}
    return Tables(records)


SMALL = {
    "line": [{"format": "1", "id": "tarn", "name": "Tarn", "money.labour.rate": "84 CNY/h"}],
    "editions": [{"id": "short", "price": "289 USD", "box_mm": "352 257 90"}],
    "parts": [
        {"id": "head", "kind": "head", "mass_g": "39", "note": "", "Shelf": "007"},
        {"id": "key", "kind": "metal", "mass_g": "1.30", "note": "", "Shelf": "=1+1"},
    ],
    "contents": [{"sells": "short", "part": "head", "quantity": "1", "optional": "no"}],
    "prices": [{"way": "head-fa", "from_quantity": "300", "unit_price": "14.2"}],
}

HARD = ["007", "1e5", "12345678901234567890", "2026-09-14", "=1+1", "+1", "-1", "@x", "a\nb",
        "a\r\nb", "_x000D_", "_x005F_", "x005F_", " a ", "1,5", "1.50", "TRUE", "0", "-0", "頭",
        "'x", "1/2", "#REF!", "0.1", "0.30000000000000004", "\t", "1_000", "٣", "nan", "inf", "🗝",
        "123456789012", "0.00001"]  # fmt: skip
texts = st.one_of(
    st.just(""),
    st.sampled_from(HARD),
    st.text(st.characters(exclude_categories=("Cs",)), max_size=12),
    st.from_regex(r"-?[0-9]{1,18}(\.[0-9]{1,6})?", fullmatch=True),
)
own_columns = st.lists(
    st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=8).filter(
        lambda name: name not in {column.name for table in TABLES for column in table.columns}
    ),
    max_size=2,
    unique=True,
)


@st.composite
def lines(draw):
    tables = {}
    own = draw(own_columns)
    for table in draw(st.lists(st.sampled_from(TABLES), unique=True, max_size=4)):
        columns = [column.name for column in table.columns] + own
        count = 1 if not table.key else draw(st.integers(0, 3))
        rows = []
        for number in range(count):
            row = {name: draw(texts) for name in columns}
            row.update(dict.fromkeys(table.key, f"row-{number}"))
            rows.append(row)
        tables[table.name] = rows
    return line_of(tables)


@given(line=lines())
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_line_comes_back_unchanged(line, tmp_path):
    to_xlsx(line, tmp_path / "line.xlsx")
    assert from_xlsx(line, tmp_path / "line.xlsx") == []


@pytest.mark.parametrize("column", ["note", "mass_g", "Shelf"])
def test_hard_texts_come_back_in_any_column(column, tmp_path):
    rows = [{"id": f"p-{number}", column: text} for number, text in enumerate(HARD)]
    to_xlsx(line_of({"parts": rows}), tmp_path / "line.xlsx")
    assert from_xlsx(line_of({"parts": rows}), tmp_path / "line.xlsx") == []
    # The file does hold them: against empty cells each is a change to that very text.
    empty = line_of({"parts": [{"id": row["id"], column: ""} for row in rows]})
    assert from_xlsx(empty, tmp_path / "line.xlsx") == [
        Change("parts", row["id"], column=column, was="", value=row[column]) for row in rows
    ]


def test_the_same_line_gives_the_same_bytes(tmp_path):
    for name in ("one.xlsx", "two.xlsx"):
        to_xlsx(line_of(SMALL), tmp_path / name)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_no_text_becomes_a_formula_and_no_id_a_number(tmp_path):
    to_xlsx(line_of(SMALL), tmp_path / "line.xlsx")
    with zipfile.ZipFile(tmp_path / "line.xlsx") as archive:
        sheets = [archive.read(n) for n in archive.namelist() if n.startswith("xl/worksheets/")]
    assert len(sheets) == len(TABLES)
    assert not any(b"<f>" in sheet or b"<f " in sheet for sheet in sheets)
    parts = load_workbook(tmp_path / "line.xlsx")["parts"]
    shelf = next(cell.column for cell in parts[1] if cell.value == "Shelf")
    assert [parts.cell(row, shelf).data_type for row in (2, 3)] == ["s", "s"]
    assert parts.cell(2, shelf).value == "007"
    assert parts.freeze_panes == "B2"


def _edit(path, edits):
    book = load_workbook(path)
    for sheet, cell, value in edits:
        book[sheet][cell] = value
    book.save(path)


def _cell(path, sheet, column, row):
    found = next(c for c in load_workbook(path)[sheet][1] if c.value == column)
    return f"{found.column_letter}{row}"


def test_an_edited_workbook_gives_exactly_the_edits(tmp_path):
    line, path = line_of(SMALL), tmp_path / "line.xlsx"
    to_xlsx(line, path)
    _edit(
        path,
        [
            ("parts", _cell(path, "parts", "mass_g", 2), 41.0),
            ("parts", _cell(path, "parts", "note", 3), "bronze"),
            ("contents", _cell(path, "contents", "optional", 2), True),
            ("prices", "A3", "head-fa"),
            ("prices", "B3", 500),
            ("prices", "C3", 12.9),
        ],
    )
    assert from_xlsx(line, path) == [
        Change("parts", "head", column="mass_g", was="39", value="41"),
        Change("parts", "key", column="note", was="", value="bronze"),
        Change("contents", "short/head", column="optional", was="no", value="yes"),
        Change(
            "prices",
            "head-fa/500",
            add={"way": "head-fa", "from_quantity": "500", "unit_price": "12.9"},
        ),
    ]


def test_a_deleted_row_is_removed_and_a_deleted_sheet_or_column_changes_nothing(tmp_path):
    line, path = line_of(SMALL), tmp_path / "line.xlsx"
    to_xlsx(line, path)
    book = load_workbook(path)
    book["parts"].delete_rows(2)
    book["parts"].delete_cols(book["parts"].max_column)
    del book["prices"]
    book.create_sheet("my sums")["A1"] = "=1+1"
    book.save(path)
    assert from_xlsx(line, path) == [Change("parts", "head", remove=True)]


def test_a_date_typed_in_a_spreadsheet_comes_back_as_iso(tmp_path):
    line = line_of({"ways": [{"id": "a", "part": "a", "valid_until": "2026-09-14"}]})
    path = tmp_path / "line.xlsx"
    to_xlsx(line, path)
    _edit(path, [("ways", _cell(path, "ways", "valid_until", 2), datetime(2027, 3, 31))])  # noqa: DTZ001
    assert from_xlsx(line, path) == [
        Change("ways", "a", column="valid_until", was="2026-09-14", value="2027-03-31")
    ]


def test_everything_that_cannot_be_taken_is_said_at_once(tmp_path):
    line, path = line_of(SMALL), tmp_path / "line.xlsx"
    to_xlsx(line, path)
    _edit(
        path,
        [
            ("parts", "A3", "head"),
            ("parts", _cell(path, "parts", "mass_g", 2), "=1+1"),
            ("contents", "A2", None),
            ("rates", "A1", "money"),
        ],
    )
    with pytest.raises(FolderError) as caught:
        from_xlsx(line, path)
    said = str(caught.value)
    assert len(caught.value.problems) == 4
    assert "sheet “parts”, row 2, column mass_g: expected a value" in said
    assert (
        "sheet “parts”, row 3: expected each row once, found “head” again, which row 2 has already"
        in said
    )
    assert "sheet “contents”, row 2, column sells: expected an id, found an empty cell" in said
    assert "sheet “rates”, row 1: expected the column “currency”" in said


def test_a_column_that_is_not_there_is_said_once_with_what_was_meant(tmp_path):
    line, path = line_of(SMALL), tmp_path / "line.xlsx"
    to_xlsx(line, path)
    book = load_workbook(path)
    sheet = book["parts"]
    sheet.cell(1, sheet.max_column + 1, "Bin")
    for row in (2, 3):
        sheet.cell(row, sheet.max_column, "A7")
    book.save(path)
    with pytest.raises(FolderError) as caught:
        from_xlsx(line, path)
    (problem,) = caught.value.problems
    assert (problem.row, problem.column) == (2, "Bin")
    assert "a column of the table" in str(problem)


def test_another_workbook_is_refused(tmp_path):
    from openpyxl import Workbook

    Workbook().save(tmp_path / "other.xlsx")
    with pytest.raises(FolderError, match="sheets named as the tables are"):
        from_xlsx(line_of(SMALL), tmp_path / "other.xlsx")
    (tmp_path / "no.xlsx").write_text("id,name")
    with pytest.raises(FolderError, match=r"no\.xlsx: expected a workbook"):
        from_xlsx(line_of(SMALL), tmp_path / "no.xlsx")


def test_a_cell_longer_than_a_spreadsheet_holds_is_refused_and_nothing_written(tmp_path):
    line = line_of({"parts": [{"id": "a", "note": "x" * 32_768}]})
    with pytest.raises(InputError, match="parts, row “a”, column “note” must be at most 32767"):
        to_xlsx(line, tmp_path / "line.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_ten_thousand_rows_come_back_unchanged(tmp_path):
    rows = [{"id": f"p-{n}", "kind": "prop", "name": f"Part {n}", "mass_g": str(n)} for n in
            range(10_000)]  # fmt: skip
    line = line_of({"parts": rows})
    to_xlsx(line, tmp_path / "line.xlsx")
    assert from_xlsx(line, tmp_path / "line.xlsx") == []


@pytest.fixture
def ferry(tmp_path):
    new_line(tmp_path / "ferry", today=date(2026, 9, 14))
    to_xlsx(read(tmp_path / "ferry"), tmp_path / "ferry.xlsx")
    return tmp_path / "ferry"


def _refused(folder, file):
    with pytest.raises(FolderError) as caught:
        take(read(folder), file)
    assert caught.value.what == f"The workbook {file.name} cannot be taken"
    return [(p.file, p.row, p.column, p.found) for p in caught.value.problems]


def test_what_the_folder_could_not_be_read_with_is_said_by_sheet_and_row_in_one_go(ferry, tmp_path):
    path = tmp_path / "ferry.xlsx"
    book = load_workbook(path)
    assert book["parts"].cell(8, 1).value == "oar"
    book["parts"].delete_rows(8)
    book.save(path)
    _edit(
        path,
        [
            ("parts", _cell(path, "parts", "kind", 3), "hed"),
            ("orders", "B2", "many"),
            ("prices", "C2", "=1+1"),
            ("ways", _cell(path, "ways", "yield", 4), 2),
        ],
    )
    rows = {(row[0].value, row[1].value): row[0].row for row in load_workbook(path)["contents"]}
    place = "ferry.xlsx, sheet “{}”".format
    assert _refused(ferry, path) == [
        (place("parts"), 3, "kind", "“hed”"),
        (
            place("contents"),
            rows["crossing", "oar"],
            "part",
            "“oar”, whose row is gone from “parts”",
        ),
        (
            place("contents"),
            rows["night-crossing", "oar"],
            "part",
            "“oar”, whose row is gone from “parts”",
        ),
        (place("orders"), 2, "quantity", "“many”"),
        (place("ways"), 4, "yield", "“2”"),
        (place("ways"), 8, "part", "“oar”, whose row is gone from “parts”"),
        (place("prices"), 2, "unit_price", "a formula whose value the file does not hold"),
    ]


def test_a_row_without_its_id_brings_no_faults_of_what_names_it(ferry, tmp_path):
    _edit(tmp_path / "ferry.xlsx", [("parts", "A3", None)])
    assert _refused(ferry, tmp_path / "ferry.xlsx") == [
        ("ferry.xlsx, sheet “parts”", 3, "id", "an empty cell")
    ]


def test_what_the_workbook_lacks_is_left_alone_and_named(ferry, tmp_path):
    path = tmp_path / "ferry.xlsx"
    book = load_workbook(path)
    del book["orders"], book["prices"], book["sculpts"]
    names = [cell.value for cell in book["parts"][1]]
    book["parts"].delete_cols(names.index("mass_g") + 1)
    book.save(path)
    taken = take(read(ferry), path)
    assert taken.changes == ()
    assert (taken.tables_left, taken.columns_left) == (("orders", "prices"), (("parts", "mass_g"),))


def test_a_workbook_knows_whether_the_line_has_changed_since(ferry, tmp_path):
    path = tmp_path / "ferry.xlsx"
    folder = read(ferry)
    assert take(folder, path).moved is False
    # As a spreadsheet program saves it, which keeps the properties.
    _edit(path, [("orders", "B2", 310)])
    assert take(folder, path).moved is False
    newer = write(
        folder,
        [Change("orders", "night-crossing", column="quantity", was="300", value="450")],
        who="Ann",
        clock=lambda: datetime(2026, 9, 14, tzinfo=UTC),
    )
    taken = take(newer, path)
    assert taken.moved is True
    assert taken.changes == (
        Change("orders", "crossing", column="quantity", was="300", value="310"),
        Change("orders", "night-crossing", column="quantity", was="450", value="300"),
    )
    assert taken.after["orders"]["night-crossing"].cells["quantity"] == "300"
    book = load_workbook(path)
    del book.custom_doc_props["sixwright state of the line"]
    book.save(path)
    assert take(newer, path).moved is None


def test_the_checksum_moves_with_any_cell_and_not_with_the_order_of_rows():
    rows = SMALL["parts"]
    whole = checksum(line_of(SMALL).records)
    assert checksum(line_of({**SMALL, "parts": rows[::-1]}).records) == whole
    for at, row in enumerate(rows):
        for name in row:
            other = [*rows[:at], {**row, name: f"{row[name]}x"}, *rows[at + 1 :]]
            assert checksum(line_of({**SMALL, "parts": other}).records) != whole


@pytest.mark.parametrize("text", ["TRUE", "FALSE", "yes", "no", "true", "maybe", ""])
def test_a_flag_comes_back_as_it_stood(text, tmp_path):
    """The folder's own rule refuses TRUE, in its row; a workbook is not where it is rewritten."""
    rows = [{"sells": "short", "part": "head", "quantity": "1", "optional": text}]
    to_xlsx(line_of({"contents": rows}), tmp_path / "line.xlsx")
    assert from_xlsx(line_of({"contents": rows}), tmp_path / "line.xlsx") == []
