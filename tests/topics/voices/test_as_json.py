"""The JSON is exactly what shared/voices.md lists, key by key, and shows no voter."""

import json

import pytest

from sixwright.line.voices import CommentSubject
from sixwright.topics.voices.as_json import as_json
from sixwright.topics.voices.compute import answer
from sixwright.topics.voices.model import Inputs, Told
from topics.voices.builders import TODAY, comment, options, poll, votes

FIGURES = {"n", "share", "mean", "top", "bottom", "agreement", "word", "strength"}
SPAN = {"value", "low", "high"}


def data(kind, answers):
    told = Told({"heads": poll(kind, least=1, most=5, invited=900)}, options("a", "b"),
                votes(answers, backers=["ann", "bob"], others=["cy"]), (),
                (comment("the cape", voter="ann"), comment("The cape!", 1, voter="bob")),
                {"cape": CommentSubject("cape", "Cape", ("cape",))}, TODAY)  # fmt: skip
    made = as_json(answer(Inputs(told)))
    return json.loads(json.dumps(made, allow_nan=False))


ANSWERS = {
    "choice": {"ann": {"a": 1}, "bob": {"b": 1}, "cy": {"a": 1}},
    "approve": {"ann": {"a": 1, "b": 0}, "bob": {"b": 1}, "cy": {"odd": 1}},
    "rate": {"ann": {"a": 1, "b": 4}, "bob": {"a": 5, "b": 4}, "cy": {"a": 5}},
    "rank": {"ann": {"a": 1, "b": 2}, "bob": {"b": 1, "a": 2}, "cy": {"a": 1, "b": 2}},
}


@pytest.mark.parametrize("kind", ANSWERS)
def test_the_keys_are_those_of_the_definition(kind):
    made = data(kind, ANSWERS[kind])
    assert set(made) == {"polls", "subjects", "groups"}
    found = made["polls"]["heads"]
    assert set(found) == {"n", "invited", "interval", "options", "sets", "write_ins"}
    assert (found["n"], found["invited"], found["interval"]) == (3, 900, "wilson")
    for option in found["options"].values():
        assert set(option) == FIGURES | {"backers", "others", "difference"}
        assert set(option["backers"]) == set(option["others"]) == FIGURES
        assert option["difference"] is None or set(option["difference"]) == SPAN
    assert set(found["sets"][0]) == {"size", "options", "reach", "frequency", "agreed"}
    assert made["subjects"] == {"cape": {"voters": 2, "comments": 2, "since": 2}}
    assert {tuple(sorted(group)) for group in made["groups"]} == {
        ("comments", "id", "subject", "voters")
    }
    assert "ann" not in json.dumps(made)


def test_figures_that_a_kind_has_are_there_and_others_are_null():
    has = {
        kind: {name for name, value in data(kind, ANSWERS[kind])["polls"]["heads"]["options"]["a"]
               .items() if value is not None and name in FIGURES | {"difference"}}
        for kind in ANSWERS
    }  # fmt: skip
    assert has == {
        "choice": {"n", "share", "difference"},
        "approve": {"n", "share", "difference"},
        "rate": {"n", "mean", "top", "bottom", "agreement", "word"},
        "rank": {"n", "strength"},
    }


def test_one_rating_alone_has_a_mean_without_an_interval():
    (only,) = [data("rate", {"cy": {"a": 4}})["polls"]["heads"]["options"]["a"]["mean"]]
    assert only == {"value": 4, "low": None, "high": None}


def test_write_ins_are_counted_and_named():
    assert data("approve", ANSWERS["approve"])["polls"]["heads"]["write_ins"] == {"odd": 1}
