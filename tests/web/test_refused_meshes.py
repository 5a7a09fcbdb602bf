"""Meshes that cannot be used, dropped on their page in a browser: what is said; nothing kept."""

import re

import numpy as np
import pytest

from line.heads import plain_head
from numerics.mesh.shapes import inside_out, joined, mesh
from storage.meshes.made import stl
from storage.meshes.test_refusals import CASES, lying_zip
from storage.small_line import bytes_of, small_line

# Of each kind that was asked for one; the slow test drops every case there is.
QUICK = ("empty", "truncated binary", "text named .stl", "a header that promises more",
         "not a number", "infinite", "no triangles", "a picture named .glb",
         "a 3MF that is none")  # fmt: skip
TECHNICAL = re.compile(
    r"Exception|Error|Traceback|[Ee]rrno|None|null|0x|[Ll]ib3[Mm][Ff]|struct|utf"
)
END = " Nothing was written."


@pytest.fixture
def line(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    return small_line(tmp_path / "line")


def opened(page_of, served, line):
    page = page_of(f"{served(line)}/sculpts", width=1280)
    page.locator("html[data-client]").wait_for(state="attached")
    return page


def dropped(page, name, content):
    """Drop one file; what is said of it, and whether it was refused. It is put away then."""
    page.locator("[data-files]").set_input_files(
        [{"name": name, "mimeType": "application/octet-stream", "buffer": content}]
    )
    card = page.locator('.arriving[data-stage="checked"], .arriving[data-stage="refused"]')
    card.wait_for()
    said = re.sub(r"\s+", " ", card.inner_text())
    was_refused = card.get_attribute("data-stage") == "refused"
    page.get_by_role("button", name="Take note" if was_refused else "Put it away").click()
    page.locator(".arriving").wait_for(state="detached")
    return said, was_refused


def check_refused(page, line, name, content, sentence):
    before = bytes_of(line)
    said, was_refused = dropped(page, name, content)
    assert was_refused
    told = said[said.index(f"{name}: ") :]
    assert told.startswith(f"{name}: expected ")
    assert told.removesuffix(" Take note").endswith(sentence + END)
    assert told.count(". ") <= 2  # one sentence, and that nothing was written
    assert not TECHNICAL.search(told)
    assert bytes_of(line) == before


@pytest.mark.timeout(120)
def test_each_kind_of_broken_file_is_refused_in_a_sentence_on_the_page(page_of, served, line):
    page = opened(page_of, served, line)
    for case in QUICK:
        check_refused(page, line, *CASES[case])


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_every_broken_file_is_refused_in_a_sentence_on_the_page(page_of, served, line):
    page = opened(page_of, served, line)
    for case in CASES.values():
        check_refused(page, line, *case)
    bomb = lying_zip(1_600_000_000)
    check_refused(page, line, "bomb.3mf", bomb, "made to fill a computer's memory.")


def heads():
    """Name, STL, and what the page must say of it."""
    head = plain_head()
    places = head.vertices.astype(float)

    def sized(factor):
        return stl(mesh(factor * places, head.faces, np.float32))

    everywhere = range(len(head.faces))
    flat = np.repeat(places[:900], 3, axis=0)
    flats = mesh(flat, np.arange(len(flat)).reshape(-1, 3))
    beside = mesh(np.add(places, [45.0, 0.0, 0.0]), head.faces)
    yield "inside out", stl(inside_out(head, *everywhere)), "It is inside out"
    yield "life size", sized(6), "it seems to be modelled at full size"
    yield "scaled twice", sized(1 / 6), "it seems to have been scaled to 1:6 twice"
    yield "inches twice", sized(25.4), "inches seem to be taken for millimetres"
    yield "inches", sized(1 / 25.4), "It is read in inches"
    yield "two heads", stl(joined(head, beside)), "It holds 2 bodies of much the same size"
    yield "no area", stl(joined(head, flats)), "A few do no harm; where they are many, ask"


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_head_that_can_be_read_is_shown_with_what_is_odd_about_it(page_of, served, line):
    page = opened(page_of, served, line)
    before = bytes_of(line)
    for name, content, words in heads():
        said, was_refused = dropped(page, "head.stl", content)
        assert not was_refused, name
        assert words in said, (name, said)
        assert bytes_of(line) == before


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_million_loose_triangles_are_named_on_the_page(page_of, served, line, tmp_path):
    head = plain_head()
    rng = np.random.Generator(np.random.Philox(3))
    loose = rng.uniform(-15, 15, (1_000_000, 1, 3)) + rng.normal(0, 0.02, (1_000_000, 3, 3))
    loose = mesh(loose.reshape(-1, 3), np.arange(3_000_000).reshape(-1, 3))
    file = tmp_path / "head.stl"
    file.write_bytes(stl(joined(head, loose)))
    page = opened(page_of, served, line)
    page.locator("[data-files]").set_input_files(str(file))
    card = page.locator('.arriving[data-stage="checked"]')
    card.wait_for()
    assert "1,000,000 loose pieces" in card.inner_text()


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_file_of_2_gb_is_refused_on_the_page_before_it_is_sent_whole(
    page_of, served, line, tmp_path
):
    file = tmp_path / "huge.stl"
    with file.open("wb") as out:
        out.truncate(2_000_000_000)  # sparse: it takes no room
    page = opened(page_of, served, line)
    page.foreseen = ("413 (Request Entity Too Large)", "413 (Content Too Large)")
    before = bytes_of(line)
    page.locator("[data-files]").set_input_files(str(file))
    page.get_by_text("A mesh may have at most 1.5 GB; nothing was kept.").first.wait_for()
    assert bytes_of(line) == before
