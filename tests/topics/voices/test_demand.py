"""Whom a box reaches and puts off, counted by hand; what a change does to its demand."""

import pytest

from sixwright.line.voices import Option
from sixwright.topics.voices.ballots import ballots
from sixwright.topics.voices.demand import appeal, demand_factor, tastes
from sixwright.topics.voices.sets_model import Appeal
from topics.voices.builders import poll, votes

OFFERED = {o: Option("heads", o, part=f"hd-{o}") for o in ("loud", "calm")}
TOLD = votes({
    "ann": {"loud": 5, "calm": 3},  # reached by the loud one alone
    "bob": {"loud": 1, "calm": 5},  # put off by the loud one, liked the calm one
    "cy": {"loud": 2, "calm": 2},  # likes neither, dislikes both
    "di": {"loud": 4, "calm": 4},
    "ed": {"calm": 4},  # did not rate the loud one: not put off by it
})  # fmt: skip
RATED = poll("rate", least=1, most=5)


def of(**box):
    found = tastes(RATED, ballots(TOLD, frozenset(OFFERED)))
    return appeal(found, OFFERED, {f"hd-{o}": optional for o, optional in box.items()})


def test_whom_a_box_reaches_and_puts_off():
    assert of(calm=False) == Appeal(n=5, reach=3, taking=3, put_off=1)
    assert of(calm=False, loud=False) == Appeal(n=5, reach=4, taking=3, put_off=2)
    assert of(calm=False, loud=True) == Appeal(n=5, reach=4, taking=4, put_off=1)


def test_a_box_with_nothing_of_the_poll_has_no_appeal():
    assert of() is None
    assert tastes(poll(), ballots(TOLD, frozenset(OFFERED))) == ()
    assert appeal((), OFFERED, {"hd-calm": False}) is None


def test_a_divided_option_gains_most_where_it_can_be_left_out():
    alone = of(calm=False)
    forced, optional = (demand_factor(alone, of(calm=False, loud=o)) for o in (False, True))
    assert (forced.low, forced.high) == (1.0, 4 / 3)
    assert (optional.low, optional.high) == (4 / 3, 4 / 3)
    freed = demand_factor(of(calm=False, loud=False), of(calm=False, loud=True))
    assert (freed.low, freed.value, freed.high) == pytest.approx((1.0, 7 / 6, 4 / 3))


def test_nothing_is_multiplied_where_nobody_was_reached():
    assert demand_factor(Appeal(5, 0, 0, 0), of(calm=False)) is None
