"""The unit and the axes that a mesh is read by: what the row says, the format, or size and shape.

Nothing is rescaled: a unit says what the file's numbers mean, and a head that is then six times
too large stays so and is told.
"""

from dataclasses import dataclass
from math import log

from sixwright.kernel.errors import InputError
from sixwright.kernel.sentences import Measure, Sentence, Value
from sixwright.line.head_shape import AXES, Fits, HeadShapeFit
from sixwright.line.meshes import (
    UNIT_WORDS,
    UNITS_MM,
    MeshConvention,
    MeshReading,
    MeshRef,
    ReadingBasis,
)

SCALE = 6
# Of 11 meshes tried, heads with hair, hats or without neck and hair lie 5.8 to 8.8 mm off the
# plain head, a box, a ball, a bust with shoulders and others 10.1 to 29: decisions/0011.
HEAD_WITHIN_MM = 9.5
# The next best way up lies 1.2 to 2 times as far off on heads, and 1.00 to 1.04 on the others.
SURE_UP = 1.12
SURE_FRONT = 1.04
# A grown head's size varies by a fifteenth (ansur-2), the fit's by as much again.
NEAR = log(1.3)
USUAL = (("+y", "+z"), ("+z", "-y"), ("+y", "-z"), ("+z", "+y"))


@dataclass(frozen=True, slots=True)
class Meant:
    """What a mesh is meant to be, so that its size tells its unit.

    Attributes
    ----------
    what
        With its article, as a sentence says it.
    largest_mm
        Usual length of the longest side of the box around it, mm at 1:6; None: not known.
    head
        Whether its shape is that of a head.
    """

    what: str
    largest_mm: float | None = None
    head: bool = False


# From chin to vertex a head at 1:6 has 38 mm (231 at full size: ansur-2 and common practice); with
# neck and hair sculpts have about 50.
HEAD = Meant("a head at 1:6", 50.0, head=True)


@dataclass(frozen=True, slots=True)
class FileSays:
    """What a file or its format says of unit and axes; None where it says nothing."""

    format: str
    unit: str | None = None
    up: str | None = None
    front: str | None = None


def reading_of(
    ref: MeshRef, says: FileSays, fits: Fits, largest: float, meant: Meant = HEAD
) -> MeshReading:
    """How to read a mesh, each part with where it comes from.

    Parameters
    ----------
    ref
        What the row says goes before all else.
    fits
        Of this mesh, in the file's own numbers; none where it is not meant to be a head.
    largest
        Longest side of the box around it, in the file's own numbers.

    Raises
    ------
    InputError
        If the row's unit or axes are none, or front lies along up.
    """
    unit = ref.unit and unit_of(ref.unit)
    up, front = (text and axis_named(text, name) for text, name in (
        (ref.up, "up"), (ref.front, "front")))  # fmt: skip
    if up and front and up[1] == front[1]:
        raise InputError(f"front must lie across up ({up}); received {front!r}.")
    ways = _allowed(fits if meant.head else Fits(()), up or None, front or None)
    return MeshReading(
        _stated(unit) if unit else _unit(says, ways, largest, meant),
        _stated(up) if up else _axis("up", says.up, ways, front or None),
        _stated(front) if front else _front(says, ways, up or None),
    )


def unit_of(text: str) -> str:
    """A cell's unit.

    Raises
    ------
    InputError
        If it is none of `UNITS_MM`.
    """
    unit = text.strip().lower()
    if unit not in UNITS_MM:
        raise InputError(f"unit must be one of {', '.join(UNITS_MM)}; received {text!r}.")
    return unit


def axis_named(text: str, name: str) -> str:
    """A cell's axis, with its sign; an apostrophe before it says that it is no formula.

    Raises
    ------
    InputError
        If it is none of `AXES`, nor such a letter alone.
    """
    axis = text.strip().lower().removeprefix("'").replace("−", "-")
    axis = axis if len(axis) == 2 else f"+{axis}"
    if axis not in AXES:
        raise InputError(f"{name} must be one of {', '.join(AXES)}; received {text!r}.")
    return axis


def _stated(value: str) -> MeshConvention:
    return MeshConvention(value, ReadingBasis.STATED, Sentence("the row says so"))


def _allowed(fits: Fits, up: str | None, front: str | None) -> tuple[HeadShapeFit, ...]:
    """The ways that the row leaves, where the mesh is like a head in one of them."""
    ways = tuple(way for way in fits.ways if up in {None, way.up} and front in {None, way.front})
    return ways if ways and ways[0].off_mm <= HEAD_WITHIN_MM else ()


def mm_of_shape(ways: tuple[HeadShapeFit, ...]) -> float | None:
    """Millimetres at 1:6 that one unit of the file is, as the head's shape says."""
    return ways[0].size / SCALE if ways else None


def _unit(
    says: FileSays, ways: tuple[HeadShapeFit, ...], largest: float, meant: Meant
) -> MeshConvention:
    shape = mm_of_shape(ways)
    wanted = shape if shape is not None else (meant.largest_mm and meant.largest_mm / largest)
    if not wanted:
        return _unit_unsized(says)
    near = NEAR if shape is not None else 2 * NEAR
    if says.unit and _misses(says.unit, wanted) <= near:
        return MeshConvention(says.unit, ReadingBasis.FORMAT, _format_says(says))
    if says.unit and says.format != "GLB" and shape is None:  # a box alone outweighs no statement
        return MeshConvention(says.unit, ReadingBasis.FORMAT, _format_says(says))
    candidates = sorted(
        (abs(log(UNITS_MM[unit] * full / wanted)), full, unit)
        for unit in ("mm", "cm", "in", "m")
        for full in (1, 1 / SCALE)
    )
    off, full, unit = candidates[0]
    values: dict[str, Value] = {
        "unit": UNIT_WORDS[unit],
        "largest": Measure(largest * UNITS_MM[unit], "mm", 1),
        "what": meant.what,
    }
    if off > near:
        return _unit_unfit(says, largest, meant)
    other = next(c for c in candidates if c[2] != unit)
    how = ReadingBasis.GUESSED if other[0] - off > NEAR / 2 else ReadingBasis.ASSUMED
    if full == 1:
        text = "in {unit} its longest side is {largest}, as that of {what} should be"
    else:
        text = (
            "in {unit} its longest side is {largest}: the size of life, six times {what}; "
            "it was not scaled"
        )
    return MeshConvention(unit, how, Sentence(text, values))


def _misses(unit: str, wanted: float) -> float:
    """How far a unit is from the wanted one, at 1:6 or at full size, as a logarithm."""
    return min(abs(log(UNITS_MM[unit] / wanted)), abs(log(UNITS_MM[unit] / SCALE / wanted)))


def _format_says(says: FileSays) -> Sentence:
    if says.format == "GLB":
        return Sentence("a GLB is in metres")
    return Sentence("the file states it")


def _unit_unsized(says: FileSays) -> MeshConvention:
    if says.unit:
        return MeshConvention(says.unit, ReadingBasis.FORMAT, _format_says(says))
    return MeshConvention(
        "mm", ReadingBasis.ASSUMED, Sentence("nothing says how large it should be")
    )


def _unit_unfit(says: FileSays, largest: float, meant: Meant) -> MeshConvention:
    if says.unit:
        return MeshConvention(says.unit, ReadingBasis.FORMAT, _format_says(says))
    sentence = Sentence(
        "its longest side is {largest} in the file's numbers, and in no unit is that {what}, "
        "nor one of full size",
        {"largest": Measure(largest, "", 3), "what": meant.what},
    )
    return MeshConvention("mm", ReadingBasis.ASSUMED, sentence)


def _axis(
    name: str, said: str | None, ways: tuple[HeadShapeFit, ...], front: str | None
) -> MeshConvention:
    """Which way is up."""
    if ways:
        best = ways[0]
        others = [way.off_mm for way in ways if way.up != best.up]
        if not others or min(others) / best.off_mm >= SURE_UP:
            return MeshConvention(
                best.up, ReadingBasis.GUESSED, Sentence("that way up it has the shape of a head")
            )
    if said and (front is None or front[1] != said[1]):
        return MeshConvention(said, ReadingBasis.FORMAT, Sentence("the format has it so"))
    for up, forward in USUAL:
        if front is None or front == forward or front[1] != up[1]:
            reason = Sentence("its shape does not tell; most files have it so")
            return MeshConvention(up, ReadingBasis.ASSUMED, reason)
    raise InputError(f"{name} must be one of {', '.join(AXES)}; received none.")


def _front(says: FileSays, ways: tuple[HeadShapeFit, ...], stated_up: str | None) -> MeshConvention:
    """Which way the face looks, given which way is up."""
    up = stated_up or _axis("up", says.up, ways, None).value
    upright = tuple(way for way in ways if way.up == up)
    if upright:
        best = upright[0]
        others = [way.off_mm for way in upright[1:]]
        if not others or min(others) / best.off_mm >= SURE_FRONT:
            return MeshConvention(
                best.front, ReadingBasis.GUESSED, Sentence("that way the shape of the face looks")
            )
    if says.front and says.front[1] != up[1]:
        return MeshConvention(says.front, ReadingBasis.FORMAT, Sentence("the format has it so"))
    usual = dict(reversed(USUAL))
    front = usual.get(up, "+z" if up[1] != "z" else "-y")
    return MeshConvention(
        front, ReadingBasis.ASSUMED, Sentence("its shape does not tell; most files have it so")
    )
