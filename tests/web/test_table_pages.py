"""Wide tables in a real browser: what stays in sight, where the keyboard is, what comes next."""

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from web.asking import clock
from web.demo import demo_without_heads

pytestmark = pytest.mark.browser

FIELD = ".field input"
EMPTY = {"ways": "cape-wool", "parts": "cape"}
# Where an element is shown; and whether it is what lies there, so that nothing covers its middle.
SEEN = """e => {
  const box = e.getBoundingClientRect();
  const x = box.x + box.width / 2, y = box.y + box.height / 2;
  const top = document.elementFromPoint(x, y);
  return top !== null && (e.contains(top) || top.contains(e) && top.tagName !== 'MAIN');
}"""
AT = "() => ({...document.activeElement.dataset})"
# Smooth scrolling goes on by frames, and a busy machine draws few of them.
AT_REST = """() => {
  if (scrollY !== rest.y) rest = {y: scrollY, from: performance.now(), frames: 0};
  rest.frames += 1;
  return rest.frames > 30 && performance.now() - rest.from > 500;
}"""


@pytest.fixture(scope="module")
def wide(served, tmp_path_factory):
    """60 parts and 8 boxes, which no test of this module writes to."""
    return served(write_folder(real_size(), tmp_path_factory.mktemp("wide") / "flood"))


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(), tmp_path / "flood")


@pytest.fixture
def open_page(page_of, served, folder):
    address = served(folder)

    def open_(path, *, width=1280, **options):
        page = page_of(address + path, width=width, **options)
        page.wait_for_selector("html[data-client]")
        return page

    return open_


def at_rest(page) -> None:
    """Wait until the page has not scrolled for half a second and thirty frames."""
    page.evaluate("() => { window.rest = {y: null}; }")
    page.wait_for_function(AT_REST)


def seen(page, selector) -> bool:
    return page.locator(selector).first.evaluate(SEEN)


def scrolled(page, x, y):
    page.evaluate(
        "([x, y]) => { const f = document.querySelector('.plate.table');"
        " f.scrollIntoView({behavior: 'instant'}); f.scrollTo({left: x, top: y}); }",
        [x, y],
    )
    page.wait_for_function("y => document.querySelector('.plate.table').scrollTop === y", arg=y)


@pytest.mark.parametrize("sheet", ["parts", "ways"])
def test_the_head_over_the_names_stays_and_so_does_take_out(page_of, wide, sheet):
    page = page_of(f"{wide}/tables/{sheet}", width=1280)
    assert page.locator(".plate.table").first.get_attribute("data-more").split()[0] == "right"
    assert seen(page, "button[data-does='take-out']")
    scrolled(page, 300, 200)
    head = page.locator("thead th").first
    name = page.locator("tbody th").nth(8)
    assert head.bounding_box()["x"] == pytest.approx(name.bounding_box()["x"], abs=1)
    assert head.evaluate(SEEN)
    assert name.evaluate(SEEN)
    assert page.locator("button[data-does='take-out']").nth(8).evaluate(SEEN)


@pytest.mark.parametrize(("path", "width"), [("/tables/parts", 1280), ("/lineup", 390)])
def test_a_table_that_goes_on_says_where(page_of, wide, path, width):
    page = page_of(wide + path, width=width)
    hint = "() => getComputedStyle(document.querySelector('.plate.table'), '::before').content"
    assert "to the right" in page.evaluate(hint)
    page.evaluate("() => document.querySelector('.plate.table').scrollTo(9999, 0)")
    page.wait_for_selector(".plate.table[data-more~='left']")
    assert "to the left" in page.evaluate(hint)
    assert "right" not in page.locator(".plate.table").first.get_attribute("data-more")


def test_a_chart_that_goes_on_says_so_on_a_phone(page_of, wide):
    page = page_of(wide + "/money", width=390)
    chart = page.locator(".sheet[data-more~='right']").first
    said = chart.evaluate("e => getComputedStyle(e, '::before').content")
    assert "to the right" in said


def test_on_a_phone_an_edit_of_the_history_has_the_whole_width(open_page, folder):
    page = open_page("/lineup", width=390)
    page.locator("button.edit[data-table='orders']").first.click()
    page.locator(FIELD).fill("121")
    page.keyboard.press("Enter")
    page.wait_for_selector("#told:has-text('is now 121')")
    page.goto(page.url.replace("/lineup", "/history"))
    words = page.locator("td", has_text="is now 121").bounding_box()
    button = page.locator("button[data-does='undo']:not([data-back])").bounding_box()
    assert words["width"] > 250
    assert words["height"] < 60
    assert button["x"] + button["width"] <= 390


def test_the_first_stop_in_a_table_is_a_value_on_a_phone(page_of, wide):
    page = page_of(wide + "/lineup", width=390)
    page.wait_for_selector("html[data-client]")
    page.locator("main").focus()
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("() => !!document.activeElement.closest('.plate.table')"):
            break
    assert page.evaluate("() => document.activeElement.matches('button.edit')")
    page.keyboard.press("Enter")
    page.locator(FIELD).wait_for()


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_what_is_written_in_and_its_refusal_are_in_sight(open_page, motion):
    page = open_page("/lineup", reduced_motion=motion)
    page.foreseen = ("422 (Unprocessable Entity)",)
    page.locator("button.edit[data-table='contents']").first.focus()
    page.keyboard.press("PageDown")
    page.keyboard.press("PageDown")
    at_rest(page)  # a browser's own smooth scrolling is not ours to end
    page.keyboard.press("ArrowDown")
    page.keyboard.type("many")
    at_rest(page)
    assert seen(page, FIELD)
    page.keyboard.press("Enter")
    page.locator(".beneath [role=alert]").wait_for()
    at_rest(page)
    assert seen(page, FIELD)
    assert seen(page, ".beneath [role=alert]")


def test_the_last_row_and_its_refusal_are_not_under_the_strip(open_page):
    page = open_page("/tables/parts")
    page.foreseen = ("422 (Unprocessable Entity)",)
    page.locator("button.edit[data-column='mass_g']").last.focus()
    page.keyboard.type("heavy")
    page.keyboard.press("Enter")
    page.locator(".beneath [role=alert]").wait_for()
    assert seen(page, FIELD)
    assert seen(page, ".beneath [role=alert]")


@pytest.mark.parametrize("trying", [False, True], ids=["written", "tried"])
def test_the_keyboard_stays_at_a_cell_that_names_its_row(open_page, folder, trying):
    page = open_page("/tables/contents")
    if trying:
        page.locator("[data-try='start']").click()
        page.locator(".trying").wait_for()
    held = read(folder).records["contents"]
    part = next(id_ for id_ in read(folder).project.parts if f"box-0/{id_}" not in held)
    first = page.locator("button.edit[data-column='part'][data-row^='box-0/']").first
    first.focus()
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.field select').options.length > 5")
    page.locator(".field select").select_option(part)
    page.keyboard.press("Enter")
    page.wait_for_selector(f"button.edit[data-row='box-0/{part}']")
    at = page.evaluate(AT)
    assert (at["row"], at["column"]) == (f"box-0/{part}", "part")
    assert (f"box-0/{part}" in read(folder).records["contents"]) is not trying


def test_a_part_that_was_added_is_gone_to_and_says_what_is_next(open_page, folder):
    page = open_page("/tables/parts")
    form = page.locator("form[data-does='add']")
    form.locator("input[name='name']").fill("Net")
    form.locator("select[name='kind']").select_option("prop")
    form.locator("button").click()
    page.wait_for_selector("#row-net")
    assert seen(page, "#row-net th")
    assert page.evaluate(AT)["row"] == "net"
    assert page.locator("tr.fresh").get_attribute("id") == "row-net"
    told = page.locator("#told")
    assert (
        told.inner_text() == "The part Net was added. Next: Put it into a box · Add a quote for it"
    )
    assert told.get_by_text("box").get_attribute("href") == "/lineup#part-net"
    told.get_by_text("Add a quote for it").click()
    page.wait_for_url("**/tables/ways?part=net#add")
    page.wait_for_selector("html[data-client]")
    ways = page.locator("form[data-does='add']")
    assert ways.locator("select[name='part']").input_value() == "net"
    ways.locator("input[name='maker']").fill("FZ")
    ways.locator("button").click()
    page.wait_for_selector("#row-net-fz")
    assert read(folder).records["ways"]["net-fz"].cells["part"] == "net"
    told.get_by_text("Give it a price").click()
    page.wait_for_url("**/tables/prices?way=net-fz#add")
    assert page.locator("form select[name='way']").input_value() == "net-fz"
    page.goto(page.url.partition("/tables")[0] + "/lineup#part-net")
    assert page.locator("#part-net").is_visible()


def test_an_empty_text_is_quiet_and_an_empty_number_is_unknown(page_of, served, tmp_path):
    folder = demo_without_heads(tmp_path)
    emptied = [Change("ways", EMPTY["ways"], name, value="") for name in ("valid_until", "tooling")]
    emptied.append(Change("parts", EMPTY["parts"], "mass_g", value=""))
    write(read(folder), emptied, who="Ines", clock=clock)
    address = served(folder)
    page = page_of(f"{address}/tables/parts", width=1280)
    for column, words in (("note", "none"), ("grips", "none"), ("fits", "none")):
        said = page.locator(f"button.edit[data-column='{column}'][data-was='']").first
        assert said.inner_text().split() == ["·", words]
    for sheet, column in (("ways", "valid_until"), ("ways", "tooling"), ("parts", "mass_g")):
        page.goto(f"{address}/tables/{sheet}")
        said = page.locator(f"button.edit[data-column='{column}'][data-row='{EMPTY[sheet]}']")
        assert said.inner_text() == "unknown"
