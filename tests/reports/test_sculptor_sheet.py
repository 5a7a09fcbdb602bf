"""The sculptor's page: one page, its asks and their pictures, and nothing of the house's sums."""

import shutil
from dataclasses import replace
from datetime import date

import pytest

from architecture.reading import ROOT
from reports.paper import bare, kinds, reader
from sixwright.line.shots import Camera, ThroughStill
from sixwright.reports.asking import AskCards
from sixwright.reports.html import report_html
from sixwright.reports.sheets.sculptor_files import sculptor_file, sculptor_files
from sixwright.reports.sheets.sculptor_sheet import sculptor_sheet
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.topics.likeness.sculpts import SculptFile
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.review import review

TODAY = date(2026, 9, 14)
ROUND = "m1-level-2"
MAKER = "李明工作室"
HEAD = "id,subject,sculpt,round,landmark,side,words,direction,mm,from,state"
WIDER = "嘴角再宽一点"
ASKS = (
    ("tip", "nose tip", "pronasale", "mid", "The nose tip 0.6 mm in (0.5 to 0.7).", "0.6 mm in"),
    ("ear", "right ear", "", "", "The right ear 0.7 mm down as a whole.", "0.7 mm down"),
    ("mouth", "mouth", "", "", WIDER, "0.3 mm larger a side"),
    ("eye", "left eye", "", "", "The left eye up as a whole.", "0.3 mm up"),
    ("jaw", "jaw", "", "", "The jaw narrower a side.", "0.3 mm narrower a side"),
    ("brow", "brow", "", "", "The brow 0.4 mm out.", "0.4 mm out"),
    ("lobe", "the cloak", "", "", "A seventh.", "softer"),
)  # fmt: skip


def made(folder, *, margin="", publish=False):
    """The demo, asked seven things in Chinese hands; with other money where `margin` is given."""
    shutil.copytree(ROOT / "examples/sluice-keeper", folder)
    rows = [f"{id_},{subject},m1-level,{ROUND},{landmark},{side},{words},{way},,likeness,open"
            for id_, subject, landmark, side, words, way in ASKS]  # fmt: skip
    (folder / "asks.csv").write_text("\n".join([HEAD, *rows, ""]), encoding="utf-8")
    rounds = (folder / "rounds.csv").read_text("utf-8").replace(",SC,", f",{MAKER},")
    (folder / "rounds.csv").write_text(rounds, encoding="utf-8")
    if publish:
        stills = (folder / "stills.csv").read_text("utf-8").replace(",no\n", ",yes\n")
        (folder / "stills.csv").write_text(stills, encoding="utf-8")
    if margin:
        head, *rows = (folder / "prices.csv").read_text("utf-8").splitlines()
        dearer = [f"{row.rpartition(',')[0]},{margin}" for row in rows]
        (folder / "prices.csv").write_text("\n".join([head, *dearer, ""]), encoding="utf-8")
    return folder


def judged(folder):
    return review(read(folder).project, today=TODAY, tools=TOOLS)


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    return judged(made(tmp_path_factory.mktemp("asked") / "line"))


def with_mesh(found):
    """The same, as if the round's mesh had been read."""
    answer, inputs = found.of(LIKENESS), found.inputs_of(LIKENESS)
    rounds = dict(inputs.rounds)
    rounds[ROUND] = replace(rounds[ROUND], mesh="meshes/head.ply")
    read_file = SculptFile(ROUND, "meshes/head.ply", is_there=True, sha256="ab" * 32)
    return replace(inputs, rounds=rounds), replace(answer, files=(read_file,))


def test_six_asks_stand_on_one_page_in_three_formats(asked):
    files = sculptor_files(asked)
    assert set(files.contents) == {f"sculptor-{ROUND}.{kind}" for kind in ("html", "pdf", "png")}
    pdf = reader(files.contents[f"sculptor-{ROUND}.pdf"])
    assert len(pdf.pages) == 1
    text = bare(pdf.pages[0].extract_text())
    for _, _, _, _, words, _ in ASKS[:6]:
        assert bare(words) in text or not words.isascii(), words
    assert "Aseventh" not in text
    assert text.count("Cost") == 6
    assert text.count("5mm") >= 6  # a scale bar each
    assert kinds(pdf).count("Figure") == 6
    for said in ("licensed", "Rightalready", "Leaveeverythingelse", "threetimesaslong"):
        assert said in text, said
    page = files.contents[f"sculptor-{ROUND}.html"].decode()
    assert MAKER in page
    assert WIDER in page
    assert files.contents[f"sculptor-{ROUND}.png"].startswith(b"\x89PNG")
    assert sculptor_file(asked, "sculptor-l1-weary-1.pdf") is None


def test_nothing_of_the_houses_sums_is_on_it(asked, tmp_path):
    other = judged(made(tmp_path / "line", margin="7"))
    names = [f"sculptor-{ROUND}.{kind}" for kind in ("html", "png")]
    for name in names:
        assert sculptor_file(asked, name) == sculptor_file(other, name), name
    assert report_html(asked, folder="f", inputs={}) != report_html(other, folder="f", inputs={})


def test_a_still_is_shown_only_where_it_may_be_published(asked, tmp_path):
    from sixwright.topics.likeness.ask_pictures import ask_shots

    kept = ask_shots(*with_mesh(asked))
    assert {"tip", "mouth", "brow"} <= set(kept)
    assert {shot.file for shot in kept.values()} == {""}
    assert any(shot.still for shot in kept.values())
    free = judged(made(tmp_path / "line", publish=True))
    shown = ask_shots(*with_mesh(free))
    for id_, shot in shown.items():
        assert shot.file == (f"stills/{shot.still}.jpg" if shot.still else ""), id_
        assert shot.arrows == kept[id_].arrows
    tip = shown["tip"]
    assert tip.arrows[0][1] == pytest.approx((0, 0, -0.6))
    # A move in depth is seen at its length from the side.
    assert isinstance(tip.camera, Camera)
    assert abs(tip.camera.rotation[2][0]) > 0.7


def test_an_ask_without_a_place_has_no_picture_and_its_words_all_the_same(asked, tmp_path):
    folder = made(tmp_path / "line")
    row = f"cloak,cloak,m1-level,{ROUND},,,The cloak softer.,softer,,likeness,open"
    (folder / "asks.csv").write_text(f"{HEAD}\n{row}\n", encoding="utf-8")
    sheet = sculptor_sheet(judged(folder), ROUND)
    (cards,) = (block for block in sheet.blocks if isinstance(block, AskCards))
    assert [(card.words, card.shot, card.drawing) for card in cards.cards] == [
        ("The cloak softer.", None, None)]  # fmt: skip


def test_the_report_has_no_still_of_which_nobody_says_that_it_may_be_published(asked):
    """Whether its points are asked for at all: a picture asks for them by its file."""
    from sixwright.kernel.sentences import Sentence
    from sixwright.reports.document import Document, Fold, Photo
    from sixwright.reports.pages.published import to_leave

    drawn = ThroughStill("r", "s01-quay", None, "", "stills/s01-quay.jpg", None, (), ())
    block = Photo(drawn, "t", "s", "c", 1, 1)
    (left,) = to_leave(Document("likeness", "", (block,), "en-GB"), asked.project).blocks
    assert left.shot.file == ""
    assert "may be published" in left.caption
    free = replace(asked.project.stills["s01-quay"], may_publish=True)
    project = replace(asked.project, stills={"s01-quay": free})
    shown = Document("likeness", "", (Fold(Sentence("."), (block,)),), "en-GB")
    assert to_leave(shown, project) == shown
    assert to_leave(shown, asked.project) != shown
