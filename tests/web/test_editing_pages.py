"""Working in the pages: values changed in place by mouse and keyboard, in a real browser."""

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.storage.folder import read

pytestmark = pytest.mark.browser

PRICE = "button.edit[data-table='editions'][data-row='box-0'][data-column='price']"
ORDERS = "button.edit[data-table='orders'][data-row='box-0']"
FIELD = ".field input"
# Pages ask once a second; a loaded machine may take longer to draw. benchmarks/edit.py measures it.
WHILE_MS = 60_000
COUNT_CHANGES = """() => {
  window.changes = 0;
  const all = {subtree: true, childList: true, attributes: true, characterData: true};
  new MutationObserver(found => { window.changes += found.length; }).observe(document, all);
}"""


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def open_page(page_of, served, folder):
    address = served(folder)

    def open_(path, *, width=1280, **options):
        page = page_of(address + path, width=width, **options)
        page.wait_for_selector("html[data-client]")
        return page

    return open_


def stated(folder, table, id_, column):
    return read(folder).records[table][id_].cells[column]


def test_a_click_makes_a_field_and_enter_saves_it(open_page, folder):
    page = open_page("/money")
    page.locator(PRICE).click()
    field = page.locator(FIELD)
    assert field.input_value() == "420 USD"
    assert field.get_attribute("aria-label") == "Price of Harbour Watch"
    field.fill("433 USD")
    field.press("Enter")
    page.wait_for_selector(f"{PRICE}:has-text('433.00')")
    assert page.locator(FIELD).count() == 0
    assert stated(folder, "editions", "box-0", "price") == "433 USD"
    assert page.evaluate("() => document.activeElement.dataset.column") == "price"
    assert "433 USD" in page.locator("#told").inner_text()


def test_escape_leaves_the_field_and_writes_nothing(open_page, folder):
    page = open_page("/money")
    page.locator(PRICE).click()
    page.locator(FIELD).fill("1 USD")
    page.keyboard.press("Escape")
    assert page.locator(FIELD).count() == 0
    assert page.evaluate("() => document.activeElement.dataset.column") == "price"
    assert stated(folder, "editions", "box-0", "price") == "420 USD"
    assert not (folder / "history").exists()


def test_leaving_the_field_saves_it_too(open_page, folder):
    page = open_page("/money")
    page.locator(PRICE).click()
    page.locator(FIELD).fill("434 USD")
    page.locator("h1").click()
    page.wait_for_selector(f"{PRICE}:has-text('434.00')")
    assert stated(folder, "editions", "box-0", "price") == "434 USD"


def test_the_verdicts_follow_without_a_reload(open_page):
    page = open_page("/money")
    page.evaluate("() => { window.stayed = true; }")
    before = page.locator("h1 + .answer, .answer").first.inner_text()
    page.locator(PRICE).click()
    page.locator(FIELD).fill("4200 USD")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{PRICE}:has-text('4,200.00')")
    assert page.locator(".answer").first.inner_text() != before
    assert page.evaluate("() => window.stayed")


def test_the_spine_follows_an_edit(page_of, served, tmp_path):
    folder = write_folder(real_size(parts=8, boxes=1), tmp_path / "flood")
    page = page_of(served(folder) + "/money", width=1280)
    mark = ".spine a[href='/money'] .mark"
    assert page.locator(mark).get_attribute("aria-label") == "holds"
    page.locator(PRICE).click()
    page.locator(FIELD).fill("4.20 USD")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{mark}[aria-label='fails']")


def test_the_arrow_keys_walk_and_typing_writes(open_page, folder):
    page = open_page("/lineup")
    page.locator(ORDERS).focus()
    page.keyboard.press("ArrowRight")
    assert page.evaluate("() => document.activeElement.dataset.row") == "box-1"
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowUp")
    assert page.evaluate("() => document.activeElement.dataset.table") == "contents"
    page.keyboard.press("ArrowDown")
    page.keyboard.type("155")
    page.keyboard.press("Tab")
    page.wait_for_selector(f"{ORDERS}:has-text('155')")
    assert stated(folder, "orders", "box-0", "quantity") == "155"
    assert page.evaluate("() => document.activeElement.dataset.row") == "box-1"


def test_one_value_of_a_table_is_a_stop_of_the_tab_key(open_page):
    page = open_page("/lineup")
    stops = page.evaluate(
        "() => [...document.querySelectorAll('main table')].map(t => "
        "t.querySelectorAll('button.edit[tabindex=\"0\"]').length)"
    )
    assert stops[0] == 1
    assert max(stops) == 1


def test_a_refused_value_says_why_beside_the_field_and_keeps_what_was_typed(open_page, folder):
    page = open_page("/lineup")
    page.foreseen = ("422 (Unprocessable Entity)",)
    page.locator(ORDERS).click()
    page.locator(FIELD).fill("a dozen")
    page.keyboard.press("Enter")
    said = page.locator(".beneath [role=alert]")
    said.wait_for()
    field = page.locator(FIELD)
    assert "a whole number" in said.inner_text()
    assert "a dozen" in said.inner_text()
    assert field.input_value() == "a dozen"
    assert field.get_attribute("aria-invalid") == "true"
    assert said.get_attribute("id") in field.get_attribute("aria-describedby")
    assert page.evaluate("() => document.activeElement.tagName") == "INPUT"
    assert stated(folder, "orders", "box-0", "quantity") == "120"
    field.fill("121")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{ORDERS}:has-text('121')")
    assert page.locator(".beneath").count() == 0


def test_a_choice_is_picked_from_what_there_is(open_page, folder):
    page = open_page("/tables/parts")
    page.locator("button.edit[data-row='part-00'][data-column='kind']").click()
    select = page.locator(".field select")
    page.wait_for_function("() => document.querySelector('.field select').options.length > 5")
    select.select_option("mask")
    page.keyboard.press("Enter")
    page.wait_for_selector("button.edit[data-row='part-00'][data-column='kind']:has-text('mask')")
    assert stated(folder, "parts", "part-00", "kind") == "mask"


def test_the_keyboard_alone_edits_undoes_and_redoes(open_page, folder):
    page = open_page("/lineup")
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.matches('button.edit')"):
            break
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    cell = page.evaluate("() => ({...document.activeElement.dataset})")
    page.keyboard.press("Enter")
    page.keyboard.press("Control+A")
    page.keyboard.type("7")
    page.keyboard.press("Enter")
    page.wait_for_selector("#told:has-text('is now 7')")
    page.keyboard.press("Control+Z")
    page.wait_for_selector("#told:has-text('Undone:')")
    assert read(folder).records.get(cell["table"], {}).get(cell["row"]) is None or (
        stated(folder, cell["table"], cell["row"], cell["column"]) == cell["was"]
    )
    page.keyboard.press("Control+Y")
    page.wait_for_selector("#told:has-text('Done again:')")
    assert stated(folder, cell["table"], cell["row"], cell["column"]) == "7"


def test_a_part_is_added_and_taken_out_in_its_table(open_page, folder):
    page = open_page("/tables/parts")
    form = page.locator("form[data-does='add']")
    form.locator("input[name='name']").fill("Lantern, dark")
    form.locator("button").click()
    form.locator(".refused").wait_for()
    assert "Kind" in form.locator(".refused").inner_text()
    form.locator("select[name='kind']").select_option("prop")
    form.locator("button").click()
    page.wait_for_selector("#row-lantern-dark")
    assert stated(folder, "parts", "lantern-dark", "kind") == "prop"
    assert form.locator("input[name='name']").input_value() == ""
    page.locator("#row-lantern-dark button[data-does='take-out']").click()
    page.wait_for_selector("#row-lantern-dark", state="detached")
    assert "lantern-dark" not in read(folder).records["parts"]


def test_what_another_program_writes_is_shown(open_page, folder):
    page = open_page("/lineup")
    orders = folder / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("box-0,120", "box-0,1234"), "utf-8")
    page.wait_for_selector(f"{ORDERS}:has-text('1,234')", timeout=WHILE_MS)
    page.wait_for_selector(".notice:has-text('outside sixwright')", timeout=WHILE_MS)
    assert "Harbour Watch was 120 and is now 1234" in page.locator(".notice").inner_text()
    page.locator(".notice button").click()
    assert page.locator(".notice").count() == 0


@pytest.mark.parametrize("path", ["/lineup", "/nowhere", "/money#unreadable"])
def test_a_page_that_nobody_touches_stays_as_it_is(new_page, served, folder, path):
    address = served(folder)
    if path.endswith("unreadable"):
        parts = folder / "parts.csv"
        parts.write_text(parts.read_text("utf-8").replace(",head,", ",hed,"), "utf-8")
    page = new_page()
    page.goto(address + path)
    page.wait_for_selector("html[data-client]")
    page.evaluate(COUNT_CHANGES)
    asked = []
    page.on("request", lambda request: asked.append(request.url.partition("?")[0]))
    for _ in range(3):
        with page.expect_request("**/since?*"):
            pass
    assert set(asked) == {f"{address}/since"}
    assert page.evaluate("() => window.changes") == 0


def test_a_second_window_follows_the_first(open_page):
    first, second = open_page("/lineup"), open_page("/money")
    first.locator(ORDERS).click()
    first.locator(FIELD).fill("222")
    first.keyboard.press("Enter")
    second.wait_for_selector(".notice:has-text('in another window')", timeout=WHILE_MS)
    assert first.locator(".notice").count() == 0


@pytest.mark.parametrize(
    ("button", "stands"), [("Keep 1500", "1500"), ("Write 130", "130")], ids=["keep", "write"]
)
def test_a_conflict_shows_both_values_and_asks(open_page, folder, button, stands):
    page = open_page("/lineup")
    page.foreseen = ("409 (Conflict)",)
    page.locator(ORDERS).click()
    page.locator(FIELD).fill("130")
    orders = folder / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("box-0,120", "box-0,1500"), "utf-8")
    page.keyboard.press("Enter")
    said = page.locator(".beneath [role=alert]")
    said.wait_for()
    assert "1500" in said.inner_text()
    assert "130" in said.inner_text()
    assert stated(folder, "orders", "box-0", "quantity") == "1500"
    page.get_by_role("button", name=button).click()
    page.wait_for_selector(".beneath", state="detached")
    page.wait_for_function(
        "want => document.querySelector(\"button.edit[data-table='orders']\").dataset.was === want",
        arg=stands,
    )
    assert stated(folder, "orders", "box-0", "quantity") == stands


def test_an_open_field_survives_a_change_elsewhere(open_page, folder):
    page = open_page("/lineup")
    page.locator(ORDERS).click()
    page.locator(FIELD).fill("13")
    orders = folder / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("box-1,130", "box-1,999"), "utf-8")
    page.wait_for_selector(".notice", timeout=WHILE_MS)
    assert page.locator(FIELD).input_value() == "13"
    assert page.evaluate("() => document.activeElement.tagName") == "INPUT"
    page.keyboard.type("1")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{ORDERS}:has-text('131')")
    assert stated(folder, "orders", "box-0", "quantity") == "131"


def test_a_phone_accepts_with_a_reason(open_page, folder):
    page = open_page("/", width=390)
    item = page.locator(".next > li").first
    item.locator("summary").click()
    item.locator("textarea").fill("The price was promised in spring.")
    item.locator("button", has_text="Accept").click()
    page.wait_for_selector("#told:has-text('accepted a finding')")
    assert "The price was promised in spring." in (folder / "accepted.csv").read_text("utf-8")
    page.locator("#accepted summary").first.click()
    assert "The price was promised in spring" in page.locator("#accepted").inner_text()


def test_a_try_is_worked_out_on_every_page_and_written_nowhere(open_page, folder):
    page = open_page("/money")
    page.locator("[data-try='start']").click()
    page.locator(".trying").wait_for()
    page.locator(PRICE).click()
    page.locator(FIELD).fill("433 USD")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{PRICE}:has-text('433.00')")
    assert "is 420 USD and would be 433 USD" in page.locator(".trying").inner_text()
    page.locator(".spine a[href='/']").click()
    page.wait_for_url("**/")
    page.wait_for_selector(f"{PRICE}:has-text('433.00')")
    assert stated(folder, "editions", "box-0", "price") == "420 USD"
    page.locator(".trying [data-try='drop']").click()
    page.locator(".trying").wait_for(state="detached")
    page.wait_for_selector(f"{PRICE}:has-text('420.00')")
    assert not (folder / "history").exists()


def test_a_try_that_fits_no_longer_is_said_once_and_kept(open_page, folder):
    page = open_page("/money")
    page.foreseen = ("422 (Unprocessable Entity)",)
    page.locator("[data-try='start']").click()
    page.locator(".trying").wait_for()
    page.locator(PRICE).click()
    page.locator(FIELD).fill("433 USD")
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{PRICE}:has-text('433.00')")
    asked = []
    page.on("request", lambda request: asked.append(request.url.partition("?")[0]))
    toml = folder / "line.toml"
    toml.write_text(toml.read_text("utf-8").replace('"420 USD"', '"500 USD"'), "utf-8")
    page.wait_for_selector(".notice:has-text('outside sixwright')")
    assert "does not fit the folder now" in page.locator("#told").inner_text()
    for _ in range(3):
        with page.expect_request("**/since?*"):
            pass
    assert sum(address.endswith("/try") for address in asked) == 1
    assert page.locator(".notice").count() == 1
    orders = folder / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("box-0,120", "box-0,1234"), "utf-8")
    page.wait_for_selector(".notice:has-text('is now 1234')")
    assert page.locator(".notice").count() == 2
    page.locator(".trying [data-try='drop']").click()
    page.locator(".trying").wait_for(state="detached")
    page.wait_for_selector(f"{PRICE}:has-text('500.00')")


def test_the_keyboard_alone_tries_keeps_and_takes_a_way_and_saves_the_report(open_page, folder):
    page = open_page("/money")

    def reach(selector, most=90):
        """Go on with the Tab key until the focus is there."""
        for _ in range(most):
            if page.evaluate("s => document.activeElement.matches(s)", selector):
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"the keyboard does not reach {selector}")

    page.keyboard.press("Shift+Tab")  # from the end of the page backwards
    for _ in range(10):
        if page.evaluate("() => document.activeElement.matches('[data-try=start]')"):
            break
        page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    page.locator(".trying").wait_for()
    page.evaluate("() => document.querySelector('#main').focus()")
    reach("main table button.edit[data-row='box-0']")
    page.locator(PRICE).focus()
    page.keyboard.type("433 USD")
    page.keyboard.press("Enter")
    page.locator(".trying form").wait_for()
    page.evaluate("() => document.querySelector('#main').focus()")
    reach(".trying input[name='name']")
    page.keyboard.type("Dearer")
    reach(".trying input[name='question']")
    page.keyboard.type("What should it cost?")
    reach(".trying form button")
    page.keyboard.press("Enter")
    page.locator(".trying").wait_for(state="detached")
    choice = read(folder).project.choices["what-should-it-cost"]
    assert [each.name for each in choice.alternatives] == ["As it stands", "Dearer"]

    reach(".skip")
    reach(".spine a[href='/choices']")
    page.keyboard.press("Enter")
    page.wait_for_url("**/choices")
    page.wait_for_selector("html[data-client]")
    reach("select[name='alternative']")
    page.keyboard.type("Dearer")
    reach("input[name='reason']")
    page.keyboard.type("The test shots look it.")
    reach("form[data-does='take'] button")
    page.keyboard.press("Enter")
    page.wait_for_selector("main:has-text('What was decided')")
    assert stated(folder, "editions", "box-0", "price") == "433 USD"

    page.evaluate("() => document.querySelector('.spine .line').focus()")
    reach(".spine a[href='/report']")
    page.keyboard.press("Enter")
    page.wait_for_url("**/report")
    reach("main a[href='/report/contents.html']")
    with page.expect_download() as saved:
        page.keyboard.press("Enter")
    assert saved.value.suggested_filename == "contents.html"
