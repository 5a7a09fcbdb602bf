"""Many rows changed at once: tried first, written as one edit, taken back by one undo."""

import json

import pytest

from sixwright.storage.folder import read
from sixwright.web.app import make_app
from sixwright.web.guard import MOST_BYTES, MOST_TRIED_BYTES
from web.asking import Client, asks, clock
from web.demo import demo_without_heads

MINIMUM = {"table": "ways", "column": "minimum", "which": "maker:FA", "how": "to", "value": "800"}
ORDERS = {"table": "orders", "column": "quantity", "which": "*", "how": "times", "value": "0.75"}


@pytest.fixture
def folder(tmp_path):
    return demo_without_heads(tmp_path)


@pytest.fixture
def client(folder):
    return Client(make_app(folder, clock, who="Ines"))


def tried(client, body, *, changes=(), page="/tables/ways"):
    step = {"path": "/many", "body": body}
    return client.post("/try", page=page, changes=list(changes), step=step)


def minimums(folder, maker):
    ways = read(folder).project.ways.values()
    return [way.minimum for way in ways if way.maker == maker]


def contents(folder):
    return {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_the_minimum_of_all_of_a_maker_is_tried_written_and_taken_back_at_once(client, folder):
    before, stood = contents(folder), minimums(folder, "FA")
    others = minimums(folder, "FB")
    moved = sum(minimum != 800 for minimum in stood)
    answer = tried(client, MINIMUM)
    assert answer.status_code == 200, answer.text
    told = answer.json()
    assert "Tried, and not written" in told["said"]
    assert "800 would stand in" in told["page"]
    assert contents(folder) == before
    assert client.post("/write-tried", changes=told["changes"]).status_code == 200
    assert minimums(folder, "FA") == [800] * len(stood)
    assert minimums(folder, "FB") == others
    page = client.get("/history").text
    assert page.count('id="edit-') == 1
    assert f"800 for {moved} cells of the column Minimum in Quotes." in page
    undo = asks(page, "undo")
    assert client.post("/undo", **undo[0]).status_code == 200
    assert minimums(folder, "FA") == stood
    assert (
        contents(folder).items() >= {k: v for k, v in before.items() if k.suffix == ".csv"}.items()
    )


def test_orders_are_scaled_and_what_was_rounded_is_said(client, folder):
    """By hand: three quarters of 180, 150, 140, 160, 70 are 135, 112.5, 105, 120, 52.5."""
    told = tried(client, ORDERS, page="/tables/orders").json()
    assert [each["value"] for each in told["changes"]] == ["135", "113", "105", "120", "53"]
    assert "2 were rounded, a half up." in told["said"]
    said = client.post("/write-tried", changes=told["changes"]).json()["said"]
    assert "is now 113" in said


def test_rows_that_are_ticked_change_and_no_others(client):
    body = {**ORDERS, "which": "", "rows": ["muster-watch", "low-water-watch"], "how": "to",
            "value": "99"}  # fmt: skip
    changes = tried(client, body, page="/tables/orders").json()["changes"]
    assert {each["id"] for each in changes} == {"muster-watch", "low-water-watch"}


def test_a_second_step_goes_on_from_the_first(client):
    first = tried(client, ORDERS).json()["changes"]
    twice = tried(client, {**ORDERS, "value": "2"}, changes=first).json()["changes"]
    assert [each["value"] for each in twice] == ["270", "226", "210", "240", "106"]
    assert [each["was"] for each in twice] == ["180", "150", "140", "160", "70"]


def test_nothing_is_written_without_a_try(client, folder):
    before = contents(folder)
    assert client.post("/many", page="/tables/ways", **MINIMUM).status_code in {404, 405}
    assert contents(folder) == before


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"which": ""}, "Tick the rows"),
        ({"which": "maker:Nobody"}, "Tick the rows"),
        ({"value": "many"}, "It must be"),
        ({"how": "times", "value": "many"}, "a factor"),
        ({"column": "id"}, "a column that can be changed for many rows"),
        ({"column": "process", "how": "times"}, "holds no numbers"),
        ({"table": "votes"}, "a table of a line"),
        ({"how": "divide"}, "did not take that"),
    ],
    ids=str,
)
def test_what_cannot_be_tried_is_refused_with_the_reason(client, folder, change, words):
    before = contents(folder)
    answer = tried(client, {**MINIMUM, **change})
    assert answer.status_code == 422
    assert words in answer.json()["said"]
    assert contents(folder) == before


def with_parts(folder, count):
    """The line with so many more parts, of long ids."""
    file = folder / "parts.csv"
    rows = "".join(f"{'long-' * 20}{at},prop,all,Piece {at}{',' * 12}\n" for at in range(count))
    file.write_text(file.read_text("utf-8").rstrip("\n") + "\n" + rows, encoding="utf-8")


def test_at_most_500_rows_are_changed_at_once_and_more_is_said(client, folder):
    here = len(read(folder).project.parts)
    with_parts(folder, 501 - here)
    answer = tried(client, {**MINIMUM, "table": "parts", "column": "note", "which": "*"})
    assert answer.status_code == 422
    assert "At most 500 rows are changed at once, and you picked 501" in answer.json()["said"]


def test_500_rows_can_be_tried_written_and_taken_back(client, folder):
    here = len(read(folder).project.parts)
    with_parts(folder, 500 - here)
    before = (folder / "parts.csv").read_bytes()
    body = {**MINIMUM, "table": "parts", "column": "note", "which": "*", "value": "as sample 2"}
    changes = tried(client, body).json()["changes"]
    assert len(changes) == 500
    assert MOST_BYTES < len(json.dumps(changes)) < MOST_TRIED_BYTES
    more = tried(client, {**ORDERS}, changes=changes)
    assert more.status_code == 422
    assert "A try holds at most 500 changes" in more.json()["said"]
    assert client.post("/write-tried", changes=changes).status_code == 200
    assert {row.cells["note"] for row in read(folder).records["parts"].values()} == {"as sample 2"}
    assert client.post("/undo", **asks(client.get("/history").text, "undo")[0]).status_code == 200
    assert (folder / "parts.csv").read_bytes() == before


def test_the_page_of_a_table_offers_its_makers_and_columns_and_no_key(client):
    page = client.get("/tables/prices").text
    form = page.partition('data-does="many"')[2].partition("</form>")[0]
    assert 'value="maker:MC"' in form
    assert 'value="unit_price"' in form
    assert 'value="from_quantity"' not in form
    assert "a half goes up" in form
    assert 'data-pick="' in page
    assert 'data-does="many"' not in client.get("/tables/line").text
    assert "data-pick" not in client.get("/money").text


@pytest.mark.browser
def test_rows_are_ticked_tried_saved_and_undone_in_a_browser(page_of, served, folder):
    page = page_of(served(folder) + "/tables/orders", width=1280)
    page.wait_for_selector("html[data-client]")
    stood = {id_: row.cells["quantity"] for id_, row in read(folder).records["orders"].items()}
    for box in ("Muster Watch", "Low Water Watch"):
        page.get_by_role("checkbox", name=f"Pick {box}", exact=True).check()
    told = page.locator("#told").inner_text()
    assert told == "2 rows are ticked: “Change many at once”, above the table, changes them."
    form = page.locator("form[data-does='many']")
    form.get_by_label("Column").select_option("quantity")
    form.get_by_label("Change").select_option("times")
    form.get_by_label("Value or factor").fill("0.7")
    form.get_by_role("button", name="Try it").click()
    page.wait_for_selector(".trying")
    assert page.locator(".trying-title").evaluate("e => e.getBoundingClientRect().top >= 0")
    assert "2 cells of the column Orders assumed" in page.locator("#told").inner_text()
    assert page.get_by_role("checkbox", name="Pick Muster Watch", exact=True).is_checked()
    cell = "button.edit[data-table='orders'][data-row='muster-watch'][data-column='quantity']"
    assert page.locator(cell).inner_text() == "126"
    assert read(folder).records["orders"]["muster-watch"].cells["quantity"] == "180"
    page.get_by_role("button", name="Save it").click()
    page.wait_for_selector(".trying", state="detached")
    now = {id_: row.cells["quantity"] for id_, row in read(folder).records["orders"].items()}
    assert now == {**stood, "muster-watch": "126", "low-water-watch": "98"}
    page.get_by_role("button", name="Undo").first.click()
    page.wait_for_selector(f"{cell}:has-text('180')")
    assert {
        id_: row.cells["quantity"] for id_, row in read(folder).records["orders"].items()
    } == stood


@pytest.mark.browser
def test_a_link_to_many_cells_unfolds_the_form_above_the_table_and_names_the_column(
    page_of, served, folder
):
    page = page_of(served(folder) + "/tables/ways?column=minutes&which=*#many", width=1280)
    page.wait_for_selector("html[data-client]")
    form = page.locator("form[data-does='many']")
    assert form.get_by_label("Column").input_value() == "minutes"
    assert form.get_by_label("Rows").input_value() == "*"
    assert form.get_by_role("button", name="Try it").evaluate(
        "e => e.getBoundingClientRect().bottom < innerHeight"
    )
