"""The buyer's sheet: what lies in the boxes, worded for the public, and nothing else."""

import re
import struct
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from reports.lines import TODAY, real_size, reviewed, usd
from reports.paper import Stretches, bare, kinds, reader, said
from sixwright.line.boxes import Content, Part, Sold
from sixwright.project.model import Project
from sixwright.reports.document import Heading, Paragraph, Table
from sixwright.reports.report_files import report_files
from sixwright.reports.sheets.buyers_sheet import buyers_sheet
from sixwright.reports.sheets.buyers_sheet_files import DatedSheet, sheet_html, sheet_pdf, sheet_png
from sixwright.reports.wording.words import say
from sixwright.storage.folder import read, read_files
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
# Added up by hand from the table of the demo line as it was given (quantities in each box, columns
# MW, ML, LW, LL, SET), with its groups: heads HD-*, hands HN-*, keys KEY01-04 and KEY05-13.
BY_HAND = {
    "Heads": (1, 2, 1, 3, 5),
    "Hands": (5, 6, 5, 6, 12),
    "Keys": (4, 13, 4, 13, 26),
    "Wrist peg": (4, 6, 4, 6, 12),
    "Lantern": (None, 1, None, 1, 2),
    "Magnet, 6 × 3 mm": (None, 12, None, 12, 17),
    "Stand, acrylic": (1, None, 1, None, None),
}


def small(contents, *, parts=None, sells=None) -> Project:
    """A line of two editions, with ids that no reader of a sheet may see."""
    found = parts or {
        "zq-body": Part("zq-body", "body", name="Body"),
        "zq-h1": Part("zq-h1", "head", name="Head, stern", group="heads"),
        "zq-h2": Part("zq-h2", "head", name="Head, asleep", group="heads"),
        "zq-hat": Part("zq-hat", "garment"),
        "zq-tray": Part("zq-tray", "packing", name="Tray of the second kind"),
    }
    made = sells or {
        "zq-one": Sold("zq-one", "Quay", look="harbour", price=usd(200)),
        "zq-two": Sold("zq-two", "", look="harbour", extends="zq-one"),
    }
    rows = tuple(Content(*row) for row in contents)
    base = real_size(parts=1, boxes=1)
    return replace(
        base, sells=made, parts=found, contents=rows, orders={}, ways={}, prices=()
    )  # fmt: skip


ROWS = (
    ("zq-one", "zq-body", 1), ("zq-one", "zq-h1", 1), ("zq-one", "zq-tray", 1),
    ("zq-two", "zq-body", 1), ("zq-two", "zq-h1", 2), ("zq-two", "zq-h2", 1, True),
    ("zq-two", "zq-hat", None),
)  # fmt: skip


def sheet(project: Project) -> DatedSheet:
    judged = review(project, today=TODAY, only=(LINEUP.id,))
    return DatedSheet(buyers_sheet(project, judged.of(LINEUP)), TODAY)


def rows(made: DatedSheet) -> dict:
    table = next(block for block in made.document.blocks if isinstance(block, Table))
    return {str(row.cells[0].value): row.cells[1:] for row in table.rows}


def prose(made: DatedSheet) -> str:
    return " ".join(
        say(sentence, "en-GB")
        for block in made.document.blocks
        if isinstance(block, Paragraph)
        for sentence in block.sentences
    )


@pytest.fixture(scope="module")
def demo() -> DatedSheet:
    return sheet(read(DEMO).project)


@pytest.mark.parametrize("name", BY_HAND)
def test_the_demo_counts_what_lies_in_its_boxes(demo, name):
    cells = rows(demo)[name]
    assert tuple(None if cell.nothing else cell.value for cell in cells) == BY_HAND[name]


def test_the_announced_six_keys_are_four_in_the_box(demo):
    announced = read(DEMO).project.sells["muster-watch"].public
    assert [(each.group, each.quantity) for each in announced] == [("keys", 6)]
    assert rows(demo)["Keys"][0].value == 4
    assert "6keys" not in "".join(Stretches(sheet_html(demo)).found)


def test_a_group_names_its_few_kinds_and_not_its_many(demo):
    assert rows(demo)["Heads"][3].detail == "weary, shouting, laughing"
    assert rows(demo)["Keys"][1].detail is None


def test_a_set_says_what_it_has_less_of_than_its_editions_together(demo):
    assert (
        "Both Tides contains all that Muster Long Watch and Low Water Long Watch contain together, "
        "except: Base plate (1 instead of 2); Tide dial, clear (1 instead of 2); "
        "Base light (1 instead of 2); Magnet, 6 × 3 mm (17 instead of 24). "
        "It adds: Link between the tides (1)."
    ) in prose(demo)


def test_optional_and_unknown_pieces_are_said_to_be():
    found = rows(sheet(small(ROWS)))
    assert found["Heads"][1].value == 3
    assert found["Heads"][1].detail == "2\u00a0×\u00a0stern, asleep; 1 optional"
    assert found["Garment"][1].value is None
    assert not found["Garment"][1].nothing
    assert found["Garment"][0].nothing
    text = Stretches(sheet_html(sheet(small(ROWS)))).found
    assert "unknown" in " ".join(text)
    assert bare("Optional pieces are in the counts.") in "".join(text)


def test_a_price_that_is_not_known_is_not_announced():
    assert [cell.value for cell in rows(sheet(small(ROWS)))["Price, USD"]] == [
        "200",
        "not announced",
    ]


def test_nothing_is_compared_while_a_count_is_unknown():
    assert prose(sheet(small(ROWS))) == (
        "At 1:6, in 2 editions. Not every part of Quay and Edition 2 has been looked at yet; "
        "there may be more to take care of."
    )
    known = (*ROWS[:-1], ("zq-two", "zq-hat", 1))
    assert "Edition 2 contains all that Quay contains. It adds:" in prose(sheet(small(known)))


def test_a_part_or_a_box_without_a_name_shows_no_id():
    made = sheet(small(ROWS))
    assert "Edition 2" in sheet_html(made)
    for text in (sheet_html(made), reader(sheet_pdf(made).content).pages[0].extract_text()):
        assert "zq-" not in text


def test_a_part_that_a_folder_gives_no_name_shows_no_id(tmp_path):
    made = project_of(tmp_path, {"zq-one": "", "zq-two": "Body"})
    found = rows(sheet(made))
    assert not [name for name in found if "zq-" in name]
    assert (found["Prop"][0].value, found["Body"][0].value) == (2, 3)
    table = next(b for b in sheet(made).document.blocks if isinstance(b, Table))
    assert [column.head for column in table.columns] == ["In the box", "Edition 1"]


def test_parts_of_one_kind_and_name_are_one_thing_to_a_buyer(tmp_path):
    made = project_of(tmp_path, {"zq-one": "Open hand", "zq-two": "Open hand"})
    table = next(b for b in sheet(made).document.blocks if isinstance(b, Table))
    hands = [row for row in table.rows if row.cells[0].value == "Open hand"]
    assert [row.cells[1].value for row in hands] == [5]


def project_of(tmp_path, names):
    """One box that holds 2 of the first part and 3 of the second, read from a folder."""
    parts = "".join(f"{id_},prop,{name}\n" for id_, name in names.items())
    held = "".join(f"box,{id_},{count}\n" for count, id_ in enumerate(names, 2))
    files = {
        "line.toml": 'format = 1\nid = "line"\nname = "Line"\nscale = "1:6"\ncurrency = "USD"\n'
        '[[editions]]\nid = "box"\n',
        "parts.csv": f"id,kind,name\n{parts}",
        "contents.csv": f"sells,part,quantity\n{held}",
        "orders.csv": "sells,quantity\n",
    }
    content = {name: text.encode() for name, text in files.items()}
    return read_files(tmp_path, content).project


def test_the_packing_is_not_counted():
    assert "Tray of the second kind" not in sheet_html(sheet(small(ROWS)))


def secrets(project: Project) -> set[str]:
    """What a buyer must not read: ids, makers, and every sum of money but the prices."""
    ids = {*project.parts, *project.sells, *project.ways, *project.looks}
    makers = {way.maker for way in project.ways.values()}
    judged = review(project, today=TODAY, only=(MONEY.id,))
    sums = {
        f"{float(amount):,.2f}"
        for box in judged.of(MONEY).sells.values()
        for amount in (box.landed, box.margin, box.labour, box.unit_cost)
        if amount is not None and amount.denominator != 1
    }
    # An id that is a plain word (“body”, “crnk”) may be a word of a name; the others may not.
    return {each for each in ids | makers | sums if "-" in each or "." in each}


def test_the_sheet_keeps_the_makers_the_money_and_the_ids():
    project = read(DEMO).project
    hidden = secrets(project)
    assert len(hidden) > 120
    made = sheet(project)
    text = " ".join(page.extract_text() for page in reader(sheet_pdf(made).content).pages)
    body = sheet_html(made).partition("<body>")[2]
    names = " ".join(part.name for part in project.parts.values())
    leaked = {each for each in hidden if each in body or each in text} - set(names.split())
    assert leaked == set()
    for word in ("margin", "landed", "maker", "fails", "doubtful", "accepted", "finding"):
        assert word not in text.lower()
        assert word not in re.sub("<[^>]*>", " ", body).lower()


@pytest.mark.parametrize(("parts", "boxes"), [(60, 8), (60, 20)])
def test_page_and_print_say_the_same(parts, boxes):
    project = real_size(parts=parts, boxes=boxes)
    made = sheet(project)
    text = said(reader(sheet_pdf(made).content), f"{project.name} · {made.date}")
    words = [each for each in Stretches(sheet_html(made)).found if made.date not in each]
    assert len(words) > 400
    missing = [each for each in words if each not in text]
    assert [each for each in missing if "14September2026" not in each] == []


def test_the_pdf_is_tagged_and_claims_both_standards(demo):
    made = sheet_pdf(demo)
    assert made.standards == ("ua-1", "a-2a")
    found = kinds(reader(made.content))
    assert (found.count("H1"), found.count("Table")) == (1, 1)
    assert found.count("TH") > 6


def test_what_is_in_the_demo_and_its_cautions_fit_one_page(demo):
    pages = reader(sheet_pdf(demo).content).pages
    assert len(pages) == 2
    first = pages[0].extract_text()
    assert "Wrist peg" in first
    assert "Dangerous if swallowed." in first
    assert "Has sharp points." in first
    assert "How they compare" not in first


def test_the_picture_is_twice_as_fine_as_a_screen(demo):
    """A PNG's size is in its first chunk (ISO/IEC 15948): 500 pt and two margins of 48 pt."""
    picture = sheet_png(demo)
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", picture[16:24])
    assert abs(width - Fraction(500 + 96, 72) * 192) <= 1
    assert height > width


def test_a_picture_of_a_wide_line_is_wider_and_still_one(tmp_path):
    width, _ = struct.unpack(">II", sheet_png(sheet(real_size(parts=60, boxes=20)))[16:24])
    assert width > 2000


def test_the_page_needs_nothing_beside_it(demo):
    page = sheet_html(demo)
    assert re.findall(r'(?:src|href)="', page) == []
    assert [url for url in re.findall(r"url\((.{5})", page) if url != "data:"] == []
    assert "<script" not in page


def test_the_date_is_the_one_given():
    other = replace(sheet(small(ROWS)), today=date(2027, 1, 2))
    assert "2 January 2027" in sheet_html(other)
    assert "14 September 2026" not in sheet_html(other)


def test_the_producer_is_told_what_was_announced_and_is_not_there():
    judged = reviewed(real_size(parts=12))
    files = report_files(judged, folder="x", inputs={})
    assert any("before you post" in notice.lower() for notice in files.notices)
    quiet = {id_: replace(each, public=()) for id_, each in judged.project.sells.items()}
    calm = reviewed(replace(judged.project, sells=quiet))
    calmer = report_files(calm, folder="x", inputs={}).notices
    assert not any("announcement" in notice for notice in calmer)


def test_headings_are_few(demo):
    assert [b.text for b in demo.document.blocks if isinstance(b, Heading)] == [
        "Cautions",
        "How they compare",
    ]


@pytest.mark.parametrize(
    ("figures", "said"), [((1, 0), True), ((1, None), False), ((None, None), False)]
)
def test_figures_are_told_to_buyers_only_where_all_are_known(figures, said):
    base = small(ROWS)
    counted = zip(base.sells.items(), figures, strict=True)
    sells = {id_: replace(sold, figures=count) for (id_, sold), count in counted}
    assert ("Figures" in rows(sheet(small(ROWS, sells=sells)))) == said
