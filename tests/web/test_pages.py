"""The pages in a real browser: 60 parts and 8 boxes at 1280 px, a phone, the keyboard, print."""

import shutil

import pytest

from architecture.reading import ROOT
from reports.folders import write_folder
from reports.lines import real_size, reviewed
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from web.asking import clock

pytestmark = pytest.mark.browser

AXE = ROOT / "src/sixwright/web/client/node_modules/axe-core/axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
TOPICS = ("/", "/lineup", "/money")
PAGES = (*TOPICS, "/tables", "/tables/parts", "/tables/editions", "/tables/prices", "/tables/line",
         "/history", "/report", "/docs", "/docs/topics/money", "/docs/editing",
         "/docs/python")  # fmt: skip
# Elements whose own content is cut off or leaves the window, and that do not scroll.
CLIPPED = """() => [...document.querySelectorAll('main *')].filter(e => {
  const box = e.getBoundingClientRect(), style = getComputedStyle(e);
  if (e.closest('.unseen, svg, details:not([open]) > :not(summary)') || !box.width) return false;
  for (let up = e; up; up = up.parentElement) {
    if (/auto|scroll/.test(getComputedStyle(up).overflowX)) return false;
  }
  const cut = e.scrollWidth > e.clientWidth + 1 && style.overflowX !== 'visible';
  return cut || box.right > document.documentElement.clientWidth + 1;
}).map(e => e.outerHTML.slice(0, 90))"""
PAGE_WIDTH = "() => document.documentElement.scrollWidth"


def with_history(folder):
    """The folder after two edits that leave it as it was."""
    folder = read(folder)
    for was, value in (("120", "121"), ("121", "120")):
        change = Change("orders", "box-0", "quantity", was, value)
        folder = write(folder, [change], who="Ines", clock=clock)
    return folder.path


@pytest.fixture(scope="module")
def address(served, tmp_path_factory):
    return served(
        with_history(write_folder(real_size(), tmp_path_factory.mktemp("line") / "flood"))
    )


@pytest.fixture(scope="module")
def demo(served, tmp_path_factory):
    """The demo line as it is, with its heads and its open choices, and one edit."""
    folder = tmp_path_factory.mktemp("demo") / "sluice-keeper"
    folder = read(shutil.copytree(ROOT / "examples/sluice-keeper", folder))
    change = Change("orders", "muster-watch", "quantity", value="180")
    return served(write(folder, [change], who="Ines", clock=clock).path)


@pytest.fixture(scope="module")
def small(served, tmp_path_factory):
    """A smaller line: the checker takes long on a thousand cells, and says the same of each."""
    line = real_size(parts=9, boxes=2)
    return served(with_history(write_folder(line, tmp_path_factory.mktemp("line") / "flood")))


def unfold(page):
    page.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")


# 640 is what a window of 1280 holds at 200 % zoom; 390 is a phone.
@pytest.mark.parametrize("width", [1280, 640, 390])
def test_nothing_is_clipped_with_60_parts_and_8_boxes(page_of, address, width):
    page = page_of(address, width=width)
    for path in PAGES:
        page.goto(address + path)
        unfold(page)
        assert page.evaluate(PAGE_WIDTH) == width, path
        assert page.evaluate(CLIPPED) == [], path


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


@pytest.mark.parametrize("path", TOPICS)
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
    said = {
        link.get_attribute("href").strip("/"): link.locator("[role=img]").get_attribute(
            "aria-label"
        )
        for link in links.all()
    }
    assert (said["lineup"], said["money"]) == ("fails", "unchecked")
    assert said == {
        topic: str(verdict) for topic, verdict in reviewed(real_size()).verdicts.items()
    }


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


def test_a_folder_with_errors_is_a_page_too(new_page, served, tmp_path):
    folder = write_folder(real_size(parts=6, boxes=2), tmp_path / "flood")
    parts = folder / "parts.csv"
    parts.write_text(parts.read_text("utf-8").replace(",head,", ",hed,"), encoding="utf-8")
    page = new_page(viewport={"width": 400, "height": 800})
    answer = page.goto(served(folder))
    assert answer.status == 503
    assert "hed" in page.locator("table").inner_text()
    assert page.evaluate(PAGE_WIDTH) == 400


def barriers(page):
    """What axe-core, a general-purpose checker of WCAG 2.2 A and AA and of good practice, finds."""
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run `make client`")
    page.evaluate(AXE.read_text("utf-8") + ";0")
    found = page.evaluate(f"axe.run(document, {{runOnly: {RULES}, resultTypes: ['violations']}})")
    assert len(found["passes"]) > 20
    return [(each["id"], each["nodes"][0]["html"]) for each in found["violations"]]


@pytest.mark.parametrize("width", [390, 1280])
def test_an_automatic_checker_finds_no_barrier(page_of, small, width):
    page = page_of(small, width=width)
    for path in PAGES if width == 1280 else ("/", "/lineup", "/tables/editions"):
        page.goto(small + path)
        unfold(page)
        assert barriers(page) == [], path


@pytest.mark.parametrize("width", [390, 1280])
def test_an_automatic_checker_finds_no_barrier_where_one_decides(page_of, demo, width):
    """The choices, the head and its stills, and what is tried beside the line as it stands."""
    page = page_of(demo, width=width)
    for path in ("/choices", "/likeness", "/history"):
        page.goto(demo + path)
        page.wait_for_selector("html[data-client]")
        unfold(page)
        assert barriers(page) == [], path
        assert page.evaluate(PAGE_WIDTH) == width, path
        assert page.evaluate(CLIPPED) == [], path
    page.goto(demo + "/money")
    page.wait_for_selector("html[data-client]")
    page.locator("[data-try='start']").click()
    page.locator(".trying").wait_for()
    page.locator("button.edit[data-row='muster-watch'][data-column='price']").click()
    page.locator(".field input").fill("301")
    page.keyboard.press("Enter")
    page.locator(".trying table").wait_for()
    assert barriers(page) == []
    assert page.evaluate(CLIPPED) == []
    page.locator(".trying [data-try='drop']").click()
    page.locator(".trying").wait_for(state="detached")


def test_an_automatic_checker_finds_no_barrier_in_a_refused_field(page_of, small):
    page = page_of(small + "/lineup", width=1280)
    page.foreseen = ("422 (Unprocessable Entity)",)
    page.locator("button.edit[data-table='orders']").first.click()
    page.locator(".field input").fill("many")
    page.keyboard.press("Enter")
    page.locator(".beneath [role=alert]").wait_for()
    assert barriers(page) == []
    assert page.evaluate(CLIPPED) == []
