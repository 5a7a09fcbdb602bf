"""Long tables show their first rows; the rest is one link away, and nothing is lost."""

import re

import pytest

from reports.folders import write_folder
from reports.lines import real_size, reviewed
from sixwright.reports.document import Cell, Column, Document, Fold, Items, Row, Table
from sixwright.reports.pages import document, printed
from sixwright.reports.pages.windows import MOST_ROWS, Windows, windowed, windows_of
from sixwright.reports.wording.words import say
from sixwright.web.app import make_app
from web.asking import Client, clock


def long(rows: int = 1000, *, groups: int = 0) -> Document:
    made = []
    for i in range(rows):
        if groups and i % groups == 0:
            made.append(Row((Cell(f"group {i // groups}"),), kind="group"))
        made.append(Row((Cell(f"row {i}"),), anchor=f"row-{i}"))
    made.append(Row((Cell("sum"),), kind="total"))
    return Document("t", "T?", (Table("All of it", (Column("What"),), tuple(made)),), "en-GB")


def names(shown: Document) -> list[str]:
    return [row.cells[0].value for row in shown.blocks[0].rows]


def test_a_short_table_is_whole():
    short = long(MOST_ROWS - 1)
    assert windowed(short, Windows()) == short


def test_the_first_rows_are_shown_with_the_sum_and_how_many_there_are():
    shown = windowed(long(), Windows())
    assert names(shown) == [*(f"row {i}" for i in range(MOST_ROWS)), "sum"]
    said = say(shown.blocks[0].caption[0], "en-GB").replace("\N{NO-BREAK SPACE}", " ")
    assert said == "These are 1 to 200 of 1,000 rows."


def test_following_the_links_meets_every_row_once_and_in_order():
    met, query = [], ""
    while True:
        table = windowed(long(), windows_of(query)).blocks[0]
        met += [row.cells[0].value for row in table.rows if row.kind == "row"]
        query = table.stretch.after.partition("#")[0]
        if not query:
            break
    assert met == [f"row {i}" for i in range(1000)]
    back = table.stretch.before.partition("#")[0]
    assert "row 799" in names(windowed(long(), windows_of(back)))


@pytest.mark.parametrize("row", [0, 17, 199, 200, 500, 999])
def test_a_row_that_is_asked_for_is_among_those_shown(row):
    assert f"row {row}" in names(windowed(long(), windows_of(f"?at=row-{row}")))


def test_the_heading_of_the_first_row_shown_is_there():
    shown = names(windowed(long(groups=300), windows_of("?all-of-it=500")))
    assert shown[0] == "group 1"


@pytest.mark.parametrize(
    "query",
    ["?all-of-it=-1", "?all-of-it=x", "?all-of-it=99999999999", "?at=nothing", "?%00", "?=&&"],
)
def test_an_address_that_says_nothing_shows_the_first_rows(query):
    assert names(windowed(long(), windows_of(query)))[0] == "row 0"


def test_an_address_beyond_the_end_shows_the_last_row():
    assert names(windowed(long(), windows_of("?all-of-it=999999")))[0] == "row 999"


def test_many_findings_are_counted_where_they_are_not_shown():
    review = reviewed(real_size(parts=300, boxes=2))
    page = windowed(document(review, "lineup"), Windows())

    def items(blocks):
        for block in blocks:
            if isinstance(block, Items):
                yield block
            if isinstance(block, Fold):
                yield from items(block.blocks)

    whole = list(items(document(review, "lineup").blocks))
    for cut, full in zip(items(page.blocks), whole, strict=True):
        assert len(cut.items) <= MOST_ROWS
        assert len(cut.items) + cut.more == len(full.items)
    assert any(len(full.items) > MOST_ROWS for full in whole)


def test_a_report_says_that_the_page_has_all_rows():
    shown = printed(reviewed(real_size(parts=300, boxes=2)))
    captions = [
        say(sentence, "en-GB").replace("\N{NO-BREAK SPACE}", " ")
        for page in shown
        for block in page.blocks
        if isinstance(block, Table)
        for sentence in block.caption
    ]
    assert any(re.fullmatch(r"These are 1 to 200 of 3\d\d rows; its page has them all\.", each)
               for each in captions)  # fmt: skip


def test_an_edit_far_down_a_table_answers_with_the_rows_that_were_shown(tmp_path):
    folder = write_folder(real_size(parts=450, boxes=1), tmp_path / "flood")
    client = Client(make_app(folder, clock))
    page = client.get("/tables/parts?rows=400").text
    assert 'data-row="part-420"' in page
    assert 'data-row="part-00"' not in page
    answer = client.edit("parts", "part-420", "length_mm", "", "12", page="/tables/parts",
                         query="?rows=400")  # fmt: skip
    assert 'data-row="part-420"' in answer.json()["page"]


def test_two_long_tables_of_one_name_are_asked_for_apart():
    twice = Document("t", "T?", long().blocks * 2, "en-GB")
    first, second = windowed(twice, windows_of("?all-of-it-2=400")).blocks
    assert [first.rows[0].cells[0].value, second.rows[0].cells[0].value] == ["row 0", "row 400"]
    assert first.stretch.name != second.stretch.name
