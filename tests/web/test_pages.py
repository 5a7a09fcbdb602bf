"""The pages in a real browser: 60 parts and 8 boxes at 1280 px, a phone, the keyboard, print."""

import pytest

from architecture.reading import ROOT
from reports.folders import write_folder
from reports.lines import real_size

pytestmark = pytest.mark.browser

AXE = ROOT / "src/sixwright/web/client/node_modules/axe-core/axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGES = ("/", "/lineup", "/money")
# Elements whose own content is cut off or leaves the window, and that do not scroll.
CLIPPED = """() => [...document.querySelectorAll('main *')].filter(e => {
  const box = e.getBoundingClientRect(), style = getComputedStyle(e);
  if (e.closest('.unseen, svg, details:not([open]) > :not(summary)') || !box.width) return false;
  const cut = e.scrollWidth > e.clientWidth + 1 && style.overflowX !== 'visible';
  return cut || box.right > document.documentElement.clientWidth + 1;
}).map(e => e.outerHTML.slice(0, 90))"""
PAGE_WIDTH = "() => document.documentElement.scrollWidth"


@pytest.fixture(scope="module")
def address(served, tmp_path_factory):
    return served(write_folder(real_size(), tmp_path_factory.mktemp("line") / "flood"))


@pytest.mark.parametrize("path", PAGES)
def test_nothing_is_clipped_at_1280_with_60_parts_and_8_boxes(page_of, address, path):
    page = page_of(address + path, width=1280)
    page.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.evaluate(PAGE_WIDTH) == 1280
    assert page.evaluate(CLIPPED) == []


def test_the_matrix_is_all_there(page_of, address):
    page = page_of(address + "/lineup", width=1280)
    table = page.locator("table").first
    assert table.locator("tr.row").count() == 60
    assert table.locator("thead th").count() == 10
    assert table.locator("tr.total", has_text="Orders assumed").inner_text().split()[2:] == [
        *"120 130 140 150 160 170 180 190".split(), "1,240",
    ]  # fmt: skip


def test_the_heads_of_the_matrix_stay_in_sight(page_of, address):
    page = page_of(address + "/lineup", width=1280)
    page.evaluate("() => document.getElementById('part-part-38').scrollIntoView()")
    head = page.locator("table").first.locator("thead th").nth(3).bounding_box()
    assert 0 <= head["y"] < 60


def test_heads_and_names_stay_in_sight_on_a_narrow_window(page_of, address):
    page = page_of(address + "/lineup", width=700)
    page.evaluate(
        "() => { const f = document.querySelector('.frozen');"
        " f.scrollIntoView(); f.scrollTo(300, 900); }"
    )
    plate = page.locator(".frozen").first.bounding_box()
    name = page.locator("#part-part-38 > th").bounding_box()
    head = page.locator("table").first.locator("thead th").nth(3).bounding_box()
    assert abs(name["x"] - plate["x"]) < 4
    assert abs(head["y"] - plate["y"]) < 4


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("width", [400, 960])
def test_a_narrow_page_does_not_scroll_sideways(page_of, address, path, width):
    page = page_of(address + path, width=width)
    page.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.evaluate(PAGE_WIDTH) == width


@pytest.mark.parametrize("path", PAGES)
def test_the_keyboard_reaches_the_spine_and_follows_it(page_of, address, path):
    page = page_of(address + path, width=1280)
    reached = []
    for _ in range(5):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("() => document.activeElement.getAttribute('href')"))
    assert reached[:4] == ["#main", "/", "/lineup", "/money"]
    page.locator(".spine a[href='/money']").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/money")


def test_focus_is_seen(page_of, address):
    page = page_of(address + "/", width=1280)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    style = page.evaluate("() => getComputedStyle(document.activeElement).outlineStyle")
    assert style == "solid"


def test_the_spine_says_each_verdict_in_a_word(page_of, address):
    page = page_of(address + "/", width=1280)
    links = page.locator(".spine ol:not(.beside) li a")
    assert links.count() == 2
    said = [links.nth(i).locator("[role=img]").get_attribute("aria-label") for i in range(2)]
    assert said == ["fails", "fails"]


def test_home_leads_to_the_evidence(page_of, address):
    page = page_of(address + "/", width=1280)
    page.locator(".next a").first.click()
    page.wait_for_url("**/*#*")
    target = page.locator(":target")
    assert target.count() == 1
    assert "Rests on:" in target.inner_text()
    assert target.is_visible()


def test_in_print_the_spine_is_gone_and_what_was_folded_is_there(page_of, address):
    page = page_of(address + "/money", width=1280)
    page.emulate_media(media="print")
    assert not page.locator(".spine").is_visible()
    assert page.locator(".colophon").is_visible()
    assert page.locator("#money-method .sources li").first.is_visible()


def test_with_scripts_off_the_pages_are_the_same(page_of, address):
    plain = page_of(address + "/money", width=1280, java_script_enabled=False)
    assert plain.locator("table").count() >= 3


def test_a_folder_with_errors_is_a_page_too(browser, served, tmp_path):
    folder = write_folder(real_size(parts=6, boxes=2), tmp_path / "flood")
    parts = folder / "parts.csv"
    parts.write_text(parts.read_text("utf-8").replace(",head,", ",hed,"), encoding="utf-8")
    page = browser.new_page(viewport={"width": 400, "height": 800})
    answer = page.goto(served(folder))
    assert answer.status == 503
    assert "hed" in page.locator("table").inner_text()
    assert page.evaluate(PAGE_WIDTH) == 400
    page.close()


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("width", [400, 1280])
def test_an_automatic_checker_finds_no_barrier(page_of, address, path, width):
    """axe-core, a general-purpose checker of WCAG 2.2 A and AA and of good practice."""
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run `make client`")
    page = page_of(address + path, width=width)
    page.evaluate(AXE.read_text("utf-8") + ";0")
    found = page.evaluate(f"axe.run(document, {{runOnly: {RULES}}})")
    assert len(found["passes"]) > 20
    assert [(each["id"], each["nodes"][0]["html"]) for each in found["violations"]] == []
