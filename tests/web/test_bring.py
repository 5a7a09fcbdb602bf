"""An empty folder's home: a spreadsheet is dropped, spoken of on its own sheet, and made a line."""

import re
from urllib.parse import quote

import pytest

from architecture.reading import ROOT
from importer.sheets import csv_file, xlsx_file
from sixwright.storage.folder import read
from sixwright.web.app import make_app
from sixwright.web.guard import MOST_SHEET_BYTES
from web.asking import HERE, Client, awaited, clock

KINDS = [["Part", "Kind", "Day"], ["Boot", "shoe", 2], ["Cap", "garment", 1], ["Lamp", "light", 1]]
TINKER = ROOT / "tests/importer/tinker.xlsx"
OPEN = re.compile(r'<label class="open">([^<]+)<select data-say="(\w+)" data-name="([^"]*)"')


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "line"
    made.mkdir()
    return made


@pytest.fixture
def client(folder):
    return Client(make_app(folder, clock, who="Ines"))


def shown(page: str) -> str:
    """Which spreadsheet a page shows, and all that was said of it."""
    found = re.search(r'data-held="([^"]*)"', page)
    return found[1] if found else ""


def make(client, path: str = "/make-line"):
    """What the button of the page asks, as the page is now."""
    return client.post(path, held=shown(client.get("/").text))


def drop(client, content: bytes, name: str, held: str = ""):
    """A file as the page sends it."""
    from httpx import ASGITransport, AsyncClient

    headers = {
        "content-type": "application/octet-stream",
        "x-sixwright-token": client.token(),
        "x-sixwright-name": quote(name),
        "x-sixwright-held": held,
    }

    async def once():
        transport = ASGITransport(client.app, raise_app_exceptions=False)
        async with AsyncClient(transport=transport, base_url=HERE) as asked:
            return await asked.post("/spreadsheet", content=content, headers=headers)

    return awaited(once())


def say(client, what, value, name=""):
    held = shown(client.get("/").text)
    answer = client.post("/say", what=what, name=name, value=value, held=held)
    assert answer.status_code == 200, answer.text
    return answer.json()["page"]


def held(folder) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_an_empty_folder_asks_for_a_spreadsheet(client):
    page = client.get("/")
    assert page.status_code == 200
    assert "Drop your spreadsheet here" in page.text
    assert "must be put right" not in page.text


def test_a_messy_spreadsheet_becomes_a_line_by_one_thing_said(client, folder):
    first = drop(client, TINKER.read_bytes(), "tinker.xlsx")
    assert first.status_code == 200, first.text
    page = first.json()["page"]
    assert "60 parts in 6 boxes; 59 of the parts have a price." in page
    assert OPEN.findall(page) == [("You sell in", "currency", "")]
    assert "First fill in the field above that says “say which”." in page
    assert held(folder) == []
    page = say(client, "currency", "USD")
    assert OPEN.findall(page) == []
    assert held(folder) == []
    made = make(client).json()
    assert made["said"].startswith("The line was made: 60 parts in 6 boxes.")
    project = read(folder).project
    assert len(project.parts) == 60
    assert len(read(folder).records["editions"]) == 6
    assert project.currency == "USD"
    assert "What to fill in first" in made["page"]


def test_no_sentence_of_the_page_tells_what_to_type(client):
    page = drop(client, TINKER.read_bytes(), "tinker.xlsx").json()["page"]
    assert "--" not in re.sub(r"<!--.*?-->", "", page)


def test_a_column_is_read_as_it_is_said(client, folder, tmp_path):
    rows = [["Part", "Kind", "Day", "Cost"], ["Level head", "head", 1, 4], ["Boot", "shoe", 2, 3]]
    drop(client, xlsx_file(tmp_path, rows).read_bytes(), "parts.xlsx")
    say(client, "currency", "USD")
    page = say(client, "column", "price@500 CNY", "Cost")
    assert 'value="500" size="4"' in page
    assert "because you say so" in page
    make(client)
    quotes = read(folder).project
    assert {way.currency for way in quotes.ways.values()} == {"CNY"}
    assert {start for way in read(folder).records["prices"].values()
            for start in [way.cells["from_quantity"]]} == {"500"}  # fmt: skip


def test_words_and_parts_of_no_kind_are_asked_together(client, folder, tmp_path):
    rows = [*KINDS, ["Thing A", "zeug", 1], ["Thing B", "", 2]]
    page = drop(client, xlsx_file(tmp_path, rows).read_bytes(), "parts.xlsx").json()["page"]
    asked = [(what, name) for _, what, name in OPEN.findall(page)]
    assert asked == [("currency", ""), ("word", "zeug"), ("kind", "")]
    for what, name, value in (
        ("currency", "", "EUR"),
        ("word", "zeug", "prop"),
        ("kind", "", "metal"),
    ):
        page = say(client, what, value, name)
    assert OPEN.findall(page) == []
    make(client)
    kinds = {row.cells["name"]: row.cells["kind"] for row in read(folder).records["parts"].values()}
    assert kinds == {"Boot": "shoe", "Cap": "garment", "Lamp": "light",
                     "Thing A": "prop", "Thing B": "metal"}  # fmt: skip


def test_what_was_said_can_be_taken_back(client, tmp_path):
    rows = [*KINDS, ["Thing A", "zeug", 1]]
    first = drop(client, xlsx_file(tmp_path, rows).read_bytes(), "parts.xlsx").json()["page"]
    say(client, "word", "prop", "zeug")
    page = say(client, "word", "", "zeug")
    assert OPEN.findall(page) == OPEN.findall(first)


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "parts.xlsx", "parts.xlsx"),
        (b"PK\x03\x04 no zip", "parts.xlsx", "parts.xlsx"),
        (b"only, one, row", "parts.csv", "parts.csv"),
        (b"x", "photo.png", "photo.png"),
        (b"a,b\n1,2\n", "..", "no name"),
        (b"a,b\n1,2\n", "", "no name"),
    ],
)
def test_what_is_no_parts_list_is_refused_and_nothing_is_written(
    client, folder, content, name, said
):
    answer = drop(client, content, name)
    assert answer.status_code == 422
    assert said in answer.json()["said"]
    assert held(folder) == []
    assert "Drop your spreadsheet here" in client.get("/").text


def test_a_name_that_leads_elsewhere_is_only_a_name(client, folder, tmp_path):
    table = csv_file(tmp_path, "Part,Kind,Day\nLevel head,head,1\nBoot,shoe,2\n").read_bytes()
    page = drop(client, table, "../../away/parts.csv").json()["page"]
    assert "parts.csv" in page
    assert "away" not in page
    assert not (tmp_path / "away").exists()


def test_a_file_is_taken_with_the_token_and_of_a_stated_size_only(client):
    body = {"what": "currency", "name": "", "value": "USD"}
    assert client.ask("POST", "/say", body=body).status_code == 403
    assert client.ask("POST", "/spreadsheet", body=body).status_code == 403
    wrong = client.ask("POST", "/spreadsheet", body=body, **{"x-sixwright-token": client.token()})
    assert wrong.status_code == 415
    headers = {"content-type": "application/octet-stream", "x-sixwright-token": client.token(),
               "content-length": str(MOST_SHEET_BYTES + 1)}  # fmt: skip
    assert client.ask("POST", "/spreadsheet", **headers).status_code == 413


def test_a_line_begins_without_parts_where_a_head_comes_first(client, folder):
    answer = client.post("/make-bare").json()
    assert answer["said"].startswith("A line without parts was made.")
    assert "What needs you today?" in answer["page"]
    line = read(folder)
    assert (line.project.parts, line.project.currency) == ({}, "USD")
    for path in ("/", "/lineup", "/money", "/care", "/stills", "/sculpts", "/tables"):
        assert client.ask("GET", path).status_code == 200, path


def test_a_folder_that_holds_a_line_takes_none(client, folder):
    assert client.post("/make-sample").status_code == 200
    before = held(folder)
    for path in ("/make-sample", "/make-line", "/discard"):
        answer = client.post(path, **({} if path == "/make-sample" else {"held": ""}))
        assert answer.status_code == 422
        assert answer.json()["said"].startswith("There is a line in this folder already")
    assert drop(client, TINKER.read_bytes(), "tinker.xlsx").status_code == 422
    assert held(folder) == before


def test_discarding_leaves_the_folder_empty(client, folder):
    drop(client, TINKER.read_bytes(), "tinker.xlsx")
    answer = make(client, "/discard").json()
    assert "nothing was written" in answer["said"]
    assert "Drop your spreadsheet here" in answer["page"]
    assert held(folder) == []
    assert make(client).status_code == 422


def test_a_second_windows_drop_does_not_replace_the_firsts_unseen(client, folder, tmp_path):
    other = csv_file(tmp_path, "Part,Kind,Day\nLevel head,head,1\nBoot,shoe,2\n").read_bytes()
    first = shown(drop(client, TINKER.read_bytes(), "tinker.xlsx").json()["page"])
    answer = drop(client, other, "parts.csv")  # a window that still shows the empty folder
    assert answer.status_code == 422
    assert answer.json()["said"].startswith("In another window “tinker.xlsx” was brought in")
    assert shown(answer.json()["page"]) == first
    page = drop(client, other, "parts.csv", held=first).json()["page"]  # now it was seen
    assert shown(page) not in {"", first}
    for path in ("/make-line", "/discard"):
        late = client.post(path, held=first)
        assert late.status_code == 422
        assert "“parts.csv” was brought in" in late.json()["said"]
    word = client.post("/say", what="currency", name="", value="USD", held=first)
    assert word.status_code == 422
    assert held(folder) == []
    say(client, "currency", "EUR")
    unseen = client.post("/make-line", held=shown(page))  # what was said since is not shown there
    assert unseen.status_code == 422
    assert "something was said of this spreadsheet" in unseen.json()["said"]
    assert make(client).status_code == 200
    assert [part.name for part in read(folder).project.parts.values()] == ["Level head", "Boot"]


def test_in_a_browser_a_second_window_sees_the_firsts_spreadsheet_first(
    served, new_page, folder, tmp_path
):
    one, two = new_page(), new_page()
    address = served(folder)
    for page in (one, two):
        page.goto(address)
    one.set_input_files("[data-bring]", TINKER)
    one.wait_for_selector(".reading")
    two.set_input_files(
        "[data-bring]", csv_file(tmp_path, "Part,Kind,Day\nBoot,shoe,2\nCap,garment,1\n")
    )
    two.wait_for_selector(".reading")
    assert "was brought in meanwhile" in two.text_content("body")
    assert two.get_attribute("[data-held]", "data-held") == one.get_attribute(
        "[data-held]", "data-held"
    )
    two.click("button:has-text('Discard')")
    two.wait_for_selector("[data-drop]")
    one.select_option("select[data-say='currency']", "USD")
    one.wait_for_selector("[data-drop]")
    assert held(folder) == []


def test_in_a_browser_from_nothing_to_a_line_in_four_actions(served, new_page, folder):
    """Choose the file, say the currency, make the line: what was made is shown at once."""
    page = new_page()
    told = []
    page.on("pageerror", lambda error: told.append(str(error)))
    page.goto(served(folder))
    page.set_input_files("[data-bring]", TINKER)
    page.wait_for_selector(".reading")
    page.select_option("select[data-say='currency']", "USD")
    page.wait_for_selector("label.open", state="detached")
    page.click("text=Make the line")
    page.wait_for_selector(".spine ol")
    assert page.inner_text("#told").startswith("The line was made: 60 parts in 6 boxes.")
    assert page.inner_text(".spine .line").casefold() == "the tinker of marrow lane"
    assert told == []


def test_in_a_browser_a_column_is_corrected_with_one_choice(served, new_page, folder, tmp_path):
    rows = [["Part", "Kind", "Day", "Cost"], ["Level head", "head", 1, 4], ["Boot", "shoe", 2, 3]]
    page = new_page()
    page.goto(served(folder))
    page.set_input_files("[data-bring]", xlsx_file(tmp_path, rows))
    head = page.locator("th[data-reads='Cost']")
    head.locator("[data-part='meaning']").select_option("tooling")
    head.locator("small", has_text="because you say so").wait_for()
    assert page.locator("#told").inner_text() == "Read anew; nothing is written yet."
    assert held(folder) == []


def test_in_a_browser_row_and_name_stay_in_sight_beside_the_boxes(served, new_page, folder):
    """The six boxes of the tinker stand in columns 13 to 18; the page never scrolls aside."""
    page = new_page()
    page.goto(served(folder))
    page.set_input_files("[data-bring]", TINKER)
    page.wait_for_selector(".reading")
    page.locator("th[data-reads='Both Lanes']").scroll_into_view_if_needed()
    assert page.evaluate("scrollX") == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    sheet = page.locator(".reading").bounding_box()
    for held in ("tbody th >> nth=1", "tbody td.named >> nth=1", "thead .named"):
        box = page.locator(f".reading {held}").bounding_box()
        assert sheet["x"] - 1 <= box["x"] < sheet["x"] + 320, held
        assert page.locator(f".reading {held}").is_visible()
    row = page.locator("th[data-reads='Both Lanes']").bounding_box()
    assert sheet["x"] < row["x"] < sheet["x"] + sheet["width"]
