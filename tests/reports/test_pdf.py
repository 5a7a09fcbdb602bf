"""The printed report: the page's words, tagged, on its locale's paper, the same bytes each time.

That the PDFs keep PDF/UA-1 and PDF/A-2a is the typesetter's own claim, made while it compiles (it
refuses what it knows to break them). No outside validator was run; these tests read the file back
with pypdf, which shares nothing with what wrote it.
"""

import os
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise

import pytest
from PIL import ImageFont

from reports.folders import write_folder
from reports.lines import TODAY, real_size, reviewed
from reports.paper import Stretches, bare, elements, kinds, reader, said, starts
from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Cell, Column, Fold, Items, Plate, Row, Table
from sixwright.reports.fonts import FONTS
from sixwright.reports.html import report_html
from sixwright.reports.pages import documents
from sixwright.reports.paper.report import report_pdf
from sixwright.reports.paper.tables import PAD_PT, TEXT_PT, lay, width_pt
from sixwright.reports.paper.typeset import A4_PAPER, LACKING, LETTER_PAPER, paper_of
from sixwright.reports.spine import colophon
from sixwright.reports.wording.words import say, text_of

INPUTS = {"line.toml": "ab" * 32, "parts.csv": "cd" * 32}
FILES = ["contents.html", "contents.pdf", "contents.png", "report.html", "report.pdf"]
SHEETS = [f"maker-maker-{number}.{kind}" for number in range(5) for kind in ("csv", "pdf")]


@pytest.fixture(scope="module", params=["en-GB", "en-US", "de-DE"])
def judged(request):
    return reviewed(real_size(locale=request.param))


@pytest.fixture(scope="module")
def printed(judged):
    return report_pdf(judged, folder="flood", inputs=INPUTS)


@pytest.fixture(scope="module")
def pdf(printed):
    return reader(printed.content)


@pytest.fixture(scope="module")
def page(judged) -> Stretches:
    return Stretches(report_html(judged, folder="flood", inputs=INPUTS))


@pytest.fixture(scope="module")
def foot(judged) -> str:
    locale = judged.project.locale
    imprint = colophon(folder="flood", inputs=INPUTS, today=judged.today, locale=locale)
    return f"{judged.project.name} · {imprint.words}"


def blocks_of(blocks):
    for block in blocks:
        yield block
        if isinstance(block, Fold):
            yield from blocks_of(block.blocks)


def all_blocks(review):
    return [block for each in documents(review) for block in blocks_of(each.blocks)]


def test_every_stretch_of_words_of_the_page_is_in_print(page, pdf, foot):
    text = said(pdf, foot)
    assert len(page.found) > 1500
    assert [words for words in page.found if words not in text] == []


def test_what_a_page_does_not_say_is_not_found_in_print(pdf, foot):
    assert "Threethingsareverdant" not in said(pdf, foot)


def test_the_pdf_claims_both_standards(printed, pdf):
    assert printed.standards == ("ua-1", "a-2a")
    xmp = pdf.trailer["/Root"]["/Metadata"].get_data().decode()
    assert re.search(r"pdfuaid:part(>|=\")1", xmp)
    assert re.search(r"pdfaid:part(>|=\")2", xmp)
    assert re.search(r"pdfaid:conformance(>|=\")A", xmp)


def test_the_pdf_says_its_title_its_language_and_its_date(judged, pdf):
    root = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 - pypdf's own boolean
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert judged.project.name in pdf.metadata.title
    assert (
        root["/Lang"] == {"en-GB": "en-GB", "en-US": "en-US", "de-DE": "en"}[judged.project.locale]
    )
    assert pdf.metadata.creation_date.date() == TODAY


def test_every_picture_is_said_in_words(judged, pdf):
    pictures = [block.picture for block in all_blocks(judged) if isinstance(block, Plate)]
    alternatives = [str(each.get("/Alt")) for kind, each in elements(pdf) if kind == "Figure"]
    assert len(pictures) >= 3
    assert alternatives == [picture.summary for picture in pictures]


def test_every_table_has_its_heads_and_rows(judged, pdf):
    tables = [block for block in all_blocks(judged) if isinstance(block, Table)]
    found = kinds(pdf)
    groups = sum(row.kind == "group" for table in tables for row in table.rows)
    rows = sum(len(table.rows) for table in tables)
    assert found.count("Table") == len(tables) >= 5
    assert found.count("TH") == sum(len(table.columns) for table in tables) + groups
    assert found.count("TR") == rows + len(tables)


def test_every_finding_is_an_item_of_a_list(judged, pdf):
    items = [block for block in all_blocks(judged) if isinstance(block, Items)]
    assert kinds(pdf).count("LI") >= sum(len(block.items) for block in items) > 200


def test_headings_leave_out_no_level(judged, pdf):
    levels = [int(kind[1]) for kind in kinds(pdf) if re.fullmatch("H[1-6]", kind)]
    assert levels[0] == 1
    assert levels.count(1) == 1 + len(judged.verdicts) >= 3  # its name, then a question each
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_link_leads_to_a_place_in_the_file(pdf):
    links = [
        note.get_object()
        for each in pdf.pages
        for note in each.get("/Annots", [])
        if note.get_object()["/Subtype"] == "/Link"
    ]
    assert len(links) > 20
    assert [link for link in links if "/URI" in link.get("/A", {})] == []
    assert [link for link in links if not link.get("/Contents")] == []


@pytest.mark.parametrize(
    ("locale", "size"),
    [
        ("en-GB", (595, 842)), ("de-DE", (595, 842)), ("en-US", (612, 792)),
        ("fr-CA", (612, 792)), ("es-MX", (612, 792)), ("zh-CN", (595, 842)), ("en", (595, 842)),
    ],
)  # fmt: skip
def test_the_paper_is_the_locales(locale, size):
    """ISO 216 A4 is 210 × 297 mm, US Letter 8.5 × 11 in. Who uses which: from memory of CLDR."""
    found = reader(
        report_pdf(
            reviewed(real_size(parts=4, boxes=2, locale=locale)), folder="x", inputs={}
        ).content
    )
    assert {(round(each.mediabox.width), round(each.mediabox.height)) for each in found.pages} == {
        size
    }
    assert paper_of(locale) in {A4_PAPER, LETTER_PAPER}


def test_nothing_starts_outside_the_margins(pdf):
    for each in pdf.pages:
        places = starts(each)
        assert places
        assert min(places) >= 47
        assert max(places) <= float(each.mediabox.width) - 48


def test_a_letter_that_no_font_has_costs_the_claim_and_nothing_else():
    project = real_size(parts=4, boxes=2)
    strange = replace(project.parts["part-00"], name="Head \u0378 of 4")
    made = report_pdf(
        reviewed(replace(project, parts={**project.parts, "part-00": strange})),
        folder="x", inputs={},
    )  # fmt: skip
    assert made.standards == ()
    found = reader(made.content)
    assert "Table" in kinds(found)
    assert all(bare(LACKING) in bare(page.extract_text()) for page in found.pages)


def test_a_print_whose_letters_all_can_be_shown_says_nothing_of_fonts(pdf):
    assert not any(bare(LACKING) in bare(page.extract_text()) for page in pdf.pages)


def test_the_same_folder_makes_the_same_bytes_in_another_process(tmp_path):
    folder = write_folder(real_size(parts=20), tmp_path / "line")
    for seed in ("1", "2"):
        subprocess.run(
            [sys.executable, "-m", "sixwright", "report", folder, "--out", tmp_path / seed,
             "--today", "2026-09-14"],
            check=False, capture_output=True, env={**os.environ, "PYTHONHASHSEED": seed},
        )  # fmt: skip
    assert sorted(path.name for path in (tmp_path / "1").iterdir()) == sorted(FILES + SHEETS)
    for name in FILES + SHEETS:
        assert (tmp_path / "1" / name).read_bytes() == (tmp_path / "2" / name).read_bytes(), name


def wording(locale):
    def word(value):
        return say(value, locale) if isinstance(value, Sentence) else text_of(value, locale)

    return word


def test_no_number_is_wider_than_its_column(judged):
    """The truth is the width that the font's own file states, read by another library."""
    faces = FONTS / "SourceSans3_600SemiBold.ttf"
    if not faces.is_file():
        pytest.skip("the fonts are laid at set-up")
    font = ImageFont.truetype(str(faces), 1000)
    word = wording(judged.project.locale)
    paper = paper_of(judged.project.locale)
    numbers = 0
    for table in (block for block in all_blocks(judged) if isinstance(block, Table)):
        for part in lay(table, word, paper).parts:
            for i, width in zip(part.columns, part.widths_pt, strict=True):
                for row in table.rows if table.columns[i].numeric else ():
                    if row.kind == "group" or row.cells[i].value is None:
                        continue
                    small = row.cells[i].detail
                    under = word(small).split(" ") if small is not None else []
                    for piece in (*word(row.cells[i].value).split(" "), *under):
                        numbers += 1
                        true = font.getlength(piece, features=["tnum"]) / 1000 * TEXT_PT
                        assert true <= width - PAD_PT + 0.01, (table.name, piece)
    assert numbers > 1000


def grid(columns: int, *, digits: int = 6) -> Table:
    heads = (Column("Part"), *(Column(f"Box {i}", numeric=True) for i in range(1, columns)))
    row = Row((Cell("Head"), *(Cell("9" * digits) for _ in range(1, columns))))
    return Table("Grid", heads, (row,))


@pytest.mark.parametrize(
    ("columns", "turned", "parts"),
    [(2, False, 1), (9, False, 1), (14, True, 1), (40, True, 3)],
)
def test_a_wide_table_is_turned_and_a_wider_one_is_split(columns, turned, parts):
    laid = lay(grid(columns), wording("en-GB"), A4_PAPER)
    assert (laid.turned, len(laid.parts)) == (turned, parts)
    room = A4_PAPER.turned_pt if turned else A4_PAPER.upright_pt
    assert all(sum(part.widths_pt) <= room + 1e-6 for part in laid.parts)
    assert all(part.columns[0] == 0 for part in laid.parts)
    shown = [i for part in laid.parts for i in part.columns[1:]]
    assert shown == list(range(1, columns))


def test_a_width_is_never_less_for_a_longer_text():
    assert width_pt("") == 0
    assert width_pt("1,234.50") < width_pt("12,345.50") < width_pt("123,456.50")


@pytest.mark.parametrize(("parts", "boxes"), [(60, 8), (60, 20)])
def test_a_line_of_any_width_is_printed_whole(parts, boxes):
    review = reviewed(real_size(parts=parts, boxes=boxes))
    made = report_pdf(review, folder="flood", inputs=INPUTS)
    found = reader(made.content)
    turned = [page for page in found.pages if page.mediabox.width > page.mediabox.height]
    assert turned
    imprint = colophon(folder="flood", inputs=INPUTS, today=TODAY, locale="en-GB")
    text = said(found, f"{review.project.name} · {imprint.words}")
    words = Stretches(report_html(review, folder="flood", inputs=INPUTS)).found
    assert [each for each in words if each not in text] == []
