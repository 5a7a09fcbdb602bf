"""Files in a browser: printed whole and in black, and without a barrier on the screen."""

import pytest

from architecture.reading import ROOT
from reports.lines import TODAY, real_size, reviewed
from reports.paper import Stretches, bare, reader
from sixwright.reports.html import report_html
from sixwright.reports.sheets.buyers_sheet import buyers_sheet
from sixwright.reports.sheets.buyers_sheet_files import DatedSheet, sheet_html
from sixwright.reports.spine import colophon
from sixwright.topics.lineup.topic import LINEUP

AXE = ROOT / "src/sixwright/web/client/node_modules/axe-core/axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
pytestmark = pytest.mark.browser
# ISO 216 A4 and US Letter, less the margins of the style sheet (14 mm a side), at 96 px an inch.
WIDTHS = {"A4": 688, "Letter": 710}
CUT_OFF = """() => [...document.querySelectorAll('main, .plate, .sheet, table, td, th, li, h1, p')]
    .filter(each => each.getBoundingClientRect().right > innerWidth + 1
        || (each.scrollWidth > each.clientWidth + 1
            && getComputedStyle(each).overflowX != 'visible'))
    .map(each => each.tagName + ' ' + each.textContent.trim().slice(0, 40))"""
# A number that can be changed is a button on the screen; on paper it is a number.
SHOWN = """() => [...document.querySelectorAll('button:not(.edit), form, .spine, .skip')]
    .filter(each => each.getClientRects().length && each.textContent.trim())
    .map(each => each.tagName + '.' + each.className)"""
ACCENT = """() => [...document.querySelectorAll('main *')]
    .filter(each => ['color', 'borderLeftColor', 'fill', 'stroke'].some(
        name => getComputedStyle(each)[name] == 'rgb(106, 42, 140)'))
    .map(each => each.tagName + '.' + each.className.baseVal)"""


def pages():
    review = reviewed(real_size(parts=60))
    sheet = DatedSheet(buyers_sheet(review.project, review.of(LINEUP)), TODAY)
    return {
        "report": report_html(review, folder="flood", inputs={}),
        "contents": sheet_html(sheet),
    }


@pytest.fixture(scope="module")
def made():
    return pages()


@pytest.fixture
def printing(new_page):
    return new_page(viewport={"width": 1280, "height": 900})


@pytest.mark.parametrize("which", ["report", "contents"])
def test_every_word_of_the_page_is_printed(made, printing, which):
    printing.set_content(made[which])
    printed = reader(printing.pdf(format="A4"))
    imprint = colophon(folder="flood", inputs={}, today=TODAY, locale="en-GB")
    pages = [bare(page.extract_text()) for page in printed.pages]
    feet = [f"{number}{bare(imprint.words)}" for number in range(1, len(pages) + 1)]
    if which == "report":
        assert all(foot in page for foot, page in zip(feet, pages, strict=True))
    text = "".join(page.replace(foot, "") for foot, page in zip(feet, pages, strict=True))
    words = Stretches(made[which]).found
    assert len(words) > 300
    assert [each for each in words if each not in text] == []


@pytest.mark.parametrize("paper", WIDTHS)
@pytest.mark.parametrize("which", ["report", "contents"])
def test_nothing_is_cut_off_on_paper(made, printing, which, paper):
    printing.set_viewport_size({"width": WIDTHS[paper], "height": 900})
    printing.emulate_media(media="print")
    printing.set_content(made[which])
    assert printing.evaluate(CUT_OFF) == []
    assert printing.evaluate("document.documentElement.scrollWidth") <= WIDTHS[paper]


@pytest.mark.parametrize("which", ["report", "contents"])
def test_print_is_black_and_has_no_controls(made, printing, which):
    printing.set_content(made[which])
    printing.emulate_media(media="print")
    assert printing.evaluate(SHOWN) == []
    assert printing.evaluate(ACCENT) == []
    printing.emulate_media(media="screen")
    assert bool(printing.evaluate(ACCENT)) == (which == "report")


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("which", ["report", "contents"])
def test_an_automatic_checker_finds_no_barrier_in_a_file(made, printing, which, width):
    """axe-core, a general-purpose checker of WCAG 2.2 A and AA and of good practice."""
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run `make client`")
    printing.set_viewport_size({"width": width, "height": 800})
    printing.set_content(made[which])
    printing.evaluate(AXE.read_text("utf-8") + ";0")
    found = printing.evaluate(
        f"axe.run(document, {{runOnly: {RULES}, resultTypes: ['violations']}})"
    )
    assert len(found["passes"]) > 15
    assert [(each["id"], each["nodes"][0]["html"]) for each in found["violations"]] == []


@pytest.mark.parametrize("address", ["/", "/lineup", "/money"])
def test_a_served_page_prints_as_well(new_page, served, tmp_path, address):
    from reports.folders import write_folder

    place = served(write_folder(real_size(parts=20), tmp_path / "line"))
    page = new_page(viewport={"width": WIDTHS["A4"], "height": 900})
    page.goto(place + address)
    page.emulate_media(media="print")
    assert page.evaluate(SHOWN) == []
    assert page.evaluate(CUT_OFF) == []
