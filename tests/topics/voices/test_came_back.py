"""A subject is answered when what was asked for it comes back; what is said later waits again."""

import datetime as dt
from dataclasses import replace

from sixwright.line.likeness import Round, Sculpt
from sixwright.line.voices import CommentSubject, VoicesAsk
from sixwright.project.voices_rows import Voices
from sixwright.reports.wording.words import say
from sixwright.topics.voices.compute import new_since
from sixwright.topics.voices.topic import VOICES
from sixwright.workflows.review import review
from topics.builders import TODAY, bolts
from topics.voices.builders import comment

ASKED, CAME = dt.date(2026, 8, 10), dt.date(2026, 8, 20)
DAYS = [dt.date(2026, 8, day) for day in (1, 2, 3, 12, 19, 20)]


def heard(*, rounds=(), state="open", later=0, asked=ASKED):
    days = [*DAYS, *[dt.date(2026, 9, 1)] * later]
    told = tuple(comment("the ear", i, voter=f"v{i}", date=day) for i, day in enumerate(days))
    ask = VoicesAsk("ask-ears", "ears", state, "level", asked)
    line = replace(
        bolts(),
        sculpts={"level": Sculpt("level")},
        rounds={f"r{day}": Round(f"r{day}", "level", 1, day) for day in rounds},
        subjects={"ears": CommentSubject("ears", "Ears", ("ear",), sculpt="level")},
        voices_asks={"ask-ears": ask},
        voices=Voices(comments=told),
    )
    found = review(line, today=TODAY, only=("voices",))
    finding = next(f for f in found.findings if f.rule == "unanswered")
    waiting = found.of(VOICES).subjects["ears"].open_voters
    return waiting, str(finding.verdict), say(finding.message, "en-GB").replace("\xa0", " ")


def test_asked_and_no_round_yet_waits_on_whom_it_is_asked_of():
    assert heard(rounds=[dt.date(2026, 8, 9)]) == (
        6, "holds", "6 voters speak of Ears, and somebody is asked about it.",
    )  # fmt: skip


def test_the_round_that_comes_after_the_ask_answers_what_was_said_up_to_it():
    assert heard(rounds=[CAME]) == (
        0, "holds", "6 voters speak of Ears; what was asked came back on 20 August 2026.",
    )  # fmt: skip


def test_who_speaks_of_it_after_the_round_waits_again():
    waiting, verdict, told = heard(rounds=[CAME], later=5)
    assert (waiting, verdict) == (5, "fails")
    assert told == "11 voters speak of Ears; 5 of them have no answer."


def test_an_ask_that_is_answered_in_words_needs_no_round():
    assert heard(state="no", asked=CAME)[:2] == (0, "holds")
    assert heard(state="withdrawn", rounds=[CAME])[:2] == (6, "fails")


def test_new_is_what_came_after_the_day_of_the_last_look():
    line = replace(
        bolts(),
        subjects={"ears": CommentSubject("ears", "Ears", ("ear",))},
        voices=Voices(comments=tuple(comment("ear", i, date=day) for i, day in enumerate(DAYS))),
    )
    found = review(line, today=TODAY, only=("voices",))
    told, subjects = found.inputs_of(VOICES).told, found.of(VOICES).subjects
    counted = [new_since(subjects, told, day)["ears"].since for day in (None, ASKED, CAME)]
    assert counted == [6, 3, 0]
