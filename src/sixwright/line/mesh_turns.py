"""A mesh turned by a quarter: which axis of its file then points up, and which forward."""

from sixwright.kernel.errors import InputError

# What takes whose place, each with the turn of the head that one sees from the front.
TURNS = {
    "left": ("up", "right"),
    "right": ("up", "left"),
    "forwards": ("back", "up"),
    "backwards": ("front", "down"),
    "lean-left": ("right", "front"),
    "lean-right": ("left", "front"),
}
_AXES = "xyz"


def turned(up: str, front: str, turn: str) -> tuple[str, str]:
    """Up and front of a mesh after a quarter turn of the head.

    Parameters
    ----------
    up, front
        As they are now, ``+y`` or ``-z``, across each other.
    turn
        One of `TURNS`: ``left`` turns the face to the figure's left, ``forwards`` tips it
        face down, ``lean-left`` lays it on the figure's left side.

    Raises
    ------
    InputError
        If it is none of them.
    """
    if turn not in TURNS:
        raise InputError(f"turn must be one of {', '.join(TURNS)}; received {turn!r}.")
    left = _across(up, front)
    now = {
        "up": up, "down": _other(up), "front": front, "back": _other(front),
        "left": left, "right": _other(left),
    }  # fmt: skip
    new_up, new_front = TURNS[turn]
    return now[new_up], now[new_front]


def _other(axis: str) -> str:
    return ("-" if axis[0] == "+" else "+") + axis[1]


def _across(up: str, front: str) -> str:
    """The axis to the figure's left: up across front, right-handed."""
    first, second = _AXES.index(up[1]), _AXES.index(front[1])
    sign = 1 if (second - first) % 3 == 1 else -1
    for axis in (up, front):
        sign *= 1 if axis[0] == "+" else -1
    return ("+" if sign > 0 else "-") + _AXES[3 - first - second]
