"""A quarter turn takes what looks one way to where it is then seen."""

import numpy as np
import pytest

from sixwright.kernel.errors import InputError
from sixwright.line.head_shape import AXES, frame_of
from sixwright.line.mesh_turns import TURNS, turned

# Sculpt frame: x to the figure's left, y up, z out of the face. What was there, and where it goes.
LEFT, UP, FACE = np.eye(3)
GOES = {
    "left": (FACE, LEFT),
    "right": (FACE, -LEFT),
    "forwards": (FACE, -UP),
    "backwards": (FACE, UP),
    "lean-left": (UP, LEFT),
    "lean-right": (UP, -LEFT),
}
WAYS = [(up, front) for up in AXES for front in AXES if up[1] != front[1]]


@pytest.mark.parametrize("turn", TURNS)
def test_from_every_attitude_it_turns_as_one_sees_it(turn):
    before, after = GOES[turn]
    for up, front in WAYS:
        in_file = frame_of(up, front).T @ before
        assert (frame_of(*turned(up, front, turn)) @ in_file == after).all(), (up, front)


@pytest.mark.parametrize("turn", TURNS)
def test_four_quarters_are_none(turn):
    for way in WAYS:
        now = way
        for _ in range(4):
            now = turned(*now, turn)
        assert now == way


def test_turns_reach_every_attitude():
    reached, todo = set(), [WAYS[0]]
    while todo:
        now = todo.pop()
        if now not in reached:
            reached.add(now)
            todo += [turned(*now, turn) for turn in TURNS]
    assert reached == set(WAYS)


def test_another_turn_is_refused():
    with pytest.raises(InputError, match="turn must be one of left, right"):
        turned("+y", "+z", "round")
