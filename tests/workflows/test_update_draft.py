"""The draft of an update: what happened since, in words for the public, and nothing else."""

import datetime as dt
from dataclasses import replace

import pytest

from sixwright.line.boxes import Look
from sixwright.line.likeness import Round, Sculpt, Still
from sixwright.line.voices import CommentSubject, Option
from sixwright.project.choices import Alternative, Choice, Decision
from sixwright.reports.sheets.update import update_html, update_markdown
from sixwright.topics.voices.compute import answer
from sixwright.topics.voices.model import Inputs, Told
from sixwright.workflows.update_draft import update_draft
from topics.builders import part, project, sold
from topics.voices.builders import comment, poll, votes

SINCE, TODAY = dt.date(2026, 8, 20), dt.date(2026, 9, 14)
SETTLED = dt.date(2026, 9, 1)
LINE = replace(
    project(
        parts=[part("hd", "head", name="Head, level")],
        sells=[sold("watch", name="Watch")],
        held={"watch": {"hd": 1}},
        orders={"watch": 10},
    ),
    looks={"day": Look("day", "Day")},
    sculpts={"level": Sculpt("level", part="hd")},
    rounds={
        "r1": Round("r1", "level", 1, dt.date(2026, 8, 3)),
        "r2": Round("r2", "level", 2, dt.date(2026, 8, 31), maker="SC",
                    remark="The ears are back."),
    },
    stills={
        "shown": Still("shown", "stills/quay side.png", may_publish=True),
        "kept": Still("kept", "stills/secret.png"),
    },
    choices={
        "cloth": Choice(
            "cloth", "Which cloth?", (Alternative("wool", "Wool"), Alternative("stock", "Stock")),
            Decision("stock", SETTLED, "producer", "It drapes better.", {"profit": "999"}),
        ),
        "keys": Choice("keys", "Bronze or zinc?", (Alternative("bronze", "Bronze"),)),
    },
)  # fmt: skip


def heard(*texts, answered=(), asked=frozenset(), closed=dt.date(2026, 9, 1)):
    levels = [1] * 40 + [5] * 60
    said = votes({f"v-{i}": {"loud": level, "calm": 4} for i, level in enumerate(levels)})
    told = tuple(
        comment(text, i, voter=f"v-{i}", answered="2026-09-02" if i in answered else None)
        for i, text in enumerate(texts)
    )
    said = Told(
        {"heads": poll("rate", question="Which head?", least=1, most=5, closed=closed)},
        {("heads", "loud"): Option("heads", "loud", "Loud", part="hd"),
         ("heads", "calm"): Option("heads", "calm", "Calm")},
        said, (), told, {"ears": CommentSubject("ears", "ears", ("ear*",))}, TODAY,
    )  # fmt: skip
    inputs = Inputs(said, boxes={"watch": {"hd": False}}, asked=asked)
    return inputs, answer(inputs)


def text(told=None, line=LINE, since=SINCE):
    made = update_markdown(update_draft(line, told, since=since, today=TODAY))
    return made.replace("\xa0", " ")


def test_only_what_came_since_is_told():
    assert "**Head, level**: round 2 came on 31 August 2026. The ears are back." in text()
    assert "round 1" not in text()
    assert "round 1" in text(since=None)
    assert "round 2" not in text(since=dt.date(2026, 8, 31))


def test_what_was_decided_and_why_and_what_was_not():
    assert "- Which cloth? **Stock**: It drapes better." in text()
    assert "- Subject to change, not decided yet: Bronze or zinc?" in text()


def test_votes_and_what_came_of_them():
    told = text(heard())
    assert "- Which head? **Calm** is ahead: 100 % of 100 of you want it." in told
    assert "- **Loud** divides you: 60 % want it, 40 % do not." in told
    assert "- **Loud** is in **Watch**." in told
    assert "What you voted" not in text(heard(closed=dt.date(2026, 8, 1)))
    assert "- You can still vote: Which head?" in text(heard(closed=None))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, r"6 of you spoke of **ears**: \[the answer goes here\]"),
        ({"answered": range(3)}, "6 of you spoke of **ears**; you have our answer."),
        ({"answered": range(6)}, "6 of you spoke of **ears**; you have our answer."),
        ({"asked": frozenset({"ears"})}, "6 of you spoke of **ears**; we have asked for it."),
    ],
)
def test_what_was_asked(more, said):
    assert said in text(heard(*["the ears"] * 6, **more))


def test_pictures_only_where_they_may_be_published():
    assert "![](stills/quay%20side.png)" in text()
    assert "secret" not in text()


def test_no_id_no_maker_no_number_and_no_voter_is_told():
    told = text(heard(*["the ears"] * 6))
    html = update_html(update_draft(LINE, heard("the ears"), since=SINCE, today=TODAY))
    for secret in ("SC", "999", "v-1", "hd", "cloth\n", "USD", "producer"):
        assert secret not in told
    assert "v-1" not in html
    assert "The ears are back." in html


def test_a_head_that_a_folder_gives_no_name_is_told_without_its_id():
    nameless = replace(LINE.parts["hd"], name="hd", is_named=False)  # as reading fills it in
    told = text(line=replace(LINE, parts={"hd": nameless}))
    assert "**A head**: round 2 came on 31 August 2026." in told
    assert "hd" not in told


def test_text_of_the_folder_is_shown_as_it_was_written():
    odd = replace(LINE.rounds["r2"], remark="*not* <b>bold</b> [x](y) # no\n- list")
    made = text(line=replace(LINE, rounds={"r2": odd}))
    assert r"\*not\* \<b\>bold\</b\> \[x\](y) \# no - list" in made


def test_a_line_without_anything_new_says_so_by_saying_nothing():
    quiet = replace(LINE, rounds={}, choices={}, stills={})
    assert "##" not in text(line=quiet)
