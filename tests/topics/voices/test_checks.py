"""The four rules, on everything they apply to: what is said, and what makes it fall over."""

import datetime as dt
from dataclasses import replace

import pytest

from sixwright.line.voices import CommentSubject, Option
from sixwright.reports.wording.words import say
from sixwright.topics.voices.checks import findings
from sixwright.topics.voices.compute import answer
from sixwright.topics.voices.model import Inputs, Told
from topics.voices.builders import TODAY, comment, options, poll, tallies, votes

# Levels 1 to 5: loved and hated, and mildly liked.
TORN, CALM = [56, 22, 9, 31, 96], [7, 17, 61, 88, 41]
PARTS = {("heads", o): Option("heads", o, o.title(), part=f"hd-{o}") for o in ("torn", "calm")}
NAMES = {"watch": "Watch", "long": "Long Watch"}


def rated(**counts):
    levels = {o: [i for i, n in enumerate(c, 1) for _ in range(n)] for o, c in counts.items()}
    return votes({f"v{i}": {o: told[i] for o, told in levels.items()} for i in range(214)})


def judged(rule, offered=PARTS, said=None, *, about=None, **more):
    told = Told(
        {"heads": about or poll("rate", least=1, most=5, seats=1)}, offered,
        rated(torn=TORN, calm=CALM) if said is None else said,
        more.pop("tallied", ()), more.pop("comments", ()), more.pop("subjects", {}), TODAY,
    )  # fmt: skip
    inputs = Inputs(told, names=NAMES, **more)
    return {f.subject.id: f for f in findings(inputs, answer(inputs)) if f.rule == rule}


def text(finding):
    return say(finding.message, "en-GB").replace("\xa0", " ").replace("\u202f", " ")


def test_a_divided_option_that_every_buyer_gets_fails_and_says_who_is_lost():
    boxes = {"watch": {}, "long": {"hd-torn": False, "hd-calm": False}}
    found = judged("divided", boxes=boxes)
    assert list(found) == ["heads/torn"]
    assert found["heads/torn"].verdict == "fails"
    assert text(found["heads/torn"]) == (
        "Torn divides 214 voters: 36 % (30 % to 43 %) do not want it, "
        "and every buyer of Long Watch gets it."
    )


@pytest.mark.parametrize("boxes", [{"long": {"hd-torn": True}}, {"long": {}}, {}])
def test_where_it_can_be_left_out_it_holds(boxes):
    found = judged("divided", boxes=boxes)["heads/torn"]
    assert found.verdict == "holds"
    assert text(found).endswith("Nobody is made to take it.")


def test_an_option_that_is_no_part_yet_is_unchecked_and_says_what_is_missing():
    found = judged("divided", {k: replace(o, part=None) for k, o in PARTS.items()})["heads/torn"]
    assert (found.verdict, found.missing) == ("unchecked", ("options/heads/torn/part",))


def test_a_divided_approval_counts_the_noes():
    yes = votes({f"v{i}": {"torn": int(i < 20), "calm": 1} for i in range(40)})
    found = judged("divided", said=yes, about=poll(), boxes={"long": {"hd-torn": False}})
    assert text(found["heads/torn"]).startswith("Torn divides 40 voters: 50 % (35 % to 65 %)")


def test_what_the_best_set_holds_and_no_box_does_is_left_out():
    found = judged("left-out", boxes={"long": {"hd-calm": False}})
    assert {o: f.verdict for o, f in found.items()} == {"heads/calm": "holds"}
    found = judged("left-out", boxes={"long": {}})
    assert found["heads/calm"].verdict == "fails"
    assert text(found["heads/calm"]) == (
        "The best set of 1 option reaches 129 of 214 voters and holds Calm, which no box does."
    )
    unnamed = {k: replace(o, part=None) for k, o in PARTS.items()}
    assert judged("left-out", unnamed)["heads/calm"].verdict == "unchecked"


def test_an_optional_place_is_a_place():
    assert judged("left-out", boxes={"long": {"hd-calm": True}})["heads/calm"].verdict == "holds"


def test_the_best_set_is_that_of_all_seats():
    two = poll("rate", least=1, most=5, seats=2)
    found = judged("left-out", about=two, boxes={"long": {"hd-calm": False}})
    assert {o: f.verdict for o, f in found.items()} == {
        "heads/calm": "holds",
        "heads/torn": "fails",
    }


def test_the_best_set_without_a_divided_option_counts_as_best_too():
    many = rated(torn=[0, 80, 0, 0, 134], calm=CALM)
    found = judged("left-out", said=many, boxes={"long": {}})
    assert list(found) == ["heads/torn", "heads/calm"]
    # Two best sets of one poll are told apart: 134 like Torn, 129 like Calm.
    assert text(found["heads/torn"]).startswith("The best set of 1 option reaches 134 of 214")
    assert text(found["heads/calm"]).startswith(
        "The best set of 1 option of which none divides reaches 129 of 214 voters and holds Calm"
    )


def test_tallies_have_no_sets_and_leave_nothing_out():
    rows = tallies(*(("torn", level, n) for level, n in enumerate(TORN, 1)))
    assert judged("left-out", said=(), tallied=rows) == {}


def asked_of(*answered, voters=None, **more):
    told = tuple(
        comment("the lantern", i, voter=(voters or [f"v{i}" for i in range(99)])[i], answered=a)
        for i, a in enumerate(answered)
    )
    subjects = {"light": CommentSubject("light", "The lantern", ("lantern*",))}
    return judged("unanswered", comments=told, subjects=subjects, **more)["light"]


def test_a_subject_of_five_voters_without_an_answer_fails():
    found = asked_of(*[None] * 5)
    assert found.verdict == "fails"
    assert text(found) == "5 voters speak of The lantern, and none of them has an answer."
    assert asked_of(*[None] * 4).verdict == "holds"
    assert asked_of(*[None] * 4, asked_least=4).verdict == "fails"


def test_five_posts_of_one_voter_are_one_voter():
    assert asked_of(*[None] * 5, voters=["ann"] * 5).verdict == "holds"


def test_answers_and_asks_settle_it():
    found = asked_of("2026-09-01", "ask-1", "x", None, None)
    assert found.verdict == "holds"
    assert text(found) == "5 voters speak of The lantern; nearly all have an answer."
    found = asked_of(*[None] * 9, asked=frozenset({"light"}))
    assert found.verdict == "holds"
    assert text(found) == "9 voters speak of The lantern, and somebody is asked about it."


def test_a_choice_needs_votes_that_tell_its_options_apart():
    rests = {"which-head": {"hd-torn": frozenset({"loud"}), "hd-calm": frozenset({"quiet"})}}
    near = judged("thin", undecided=rests)["which-head/heads"]
    assert near.verdict == "doubtful"
    assert text(near) == (
        "Calm is ahead of Torn among 214 voters, but by no more than chance could make."
    )
    far = judged("thin", said=rated(torn=[96, 31, 9, 22, 56], calm=CALM), undecided=rests)
    assert far["which-head/heads"].verdict == "holds"
    assert judged("thin", undecided={"which-head": {"hd-torn": frozenset({"loud"})}}) == {}
    none = judged("thin", said=(), undecided=rests)["which-head/heads"]
    assert (none.verdict, none.missing) == (
        "unchecked", ("votes/heads/torn", "votes/heads/calm"),
    )  # fmt: skip


def test_a_choice_that_changes_both_options_alike_does_not_rest_on_their_order():
    alike = dict.fromkeys(("hd-torn", "hd-calm"), frozenset({"sculpted"}))
    assert judged("thin", undecided={"which-hair": alike}) == {}


def test_no_finding_shows_a_voter():
    told = (comment("the lantern", 1, voter="v-secret", date=dt.date(2026, 9, 1)),)
    subjects = {"light": CommentSubject("light", "", ("lantern",))}
    inputs = Inputs(Told({"heads": poll()}, options("a"), votes({"v-secret": {"a": 1}}), (), told,
                         subjects, TODAY))  # fmt: skip
    found = answer(inputs)
    assert "v-secret" not in repr(found)
    assert "v-secret" not in repr(findings(inputs, found))
