"""A change that is tried leaves what was voted and said as it was, where it can."""

from dataclasses import replace

from sixwright.project.apply import apply
from sixwright.project.records import Change
from sixwright.project.voices_rows import Voices
from topics.voices.builders import comment, tallies, votes
from workflows.open_lines import line

POLLS = {"heads": {"kind": "rate", "least": "1", "most": "5"}, "base": {"kind": "approve"}}


def tried(*changes):
    project = line({})
    for id_, cells in POLLS.items():
        project = apply(project, [Change("polls", id_, add=cells)])
    told = Voices(votes({"ann": {"torn": 5}}), tallies(), (comment("more keys", 1),))
    project = replace(project, voices=told)
    return told, apply(project, changes).voices


def test_a_trial_of_something_else_keeps_every_vote_and_comment():
    told, kept = tried(Change("editions", "box", "price", "100", "120"))
    assert kept is told


def test_a_trial_of_another_scale_drops_the_answers_on_the_old_one_and_no_comment():
    told, kept = tried(Change("polls", "heads", "most", "5", "10"))
    assert (kept.votes, kept.comments) == ((), told.comments)
    _, renamed = tried(Change("polls", "heads", "question", "", "How much?"))
    assert renamed.votes == told.votes
