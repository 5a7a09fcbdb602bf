"""What can be asked of a sculptor about a round: features as a whole first, then landmarks."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

from sixwright.kernel.intervals import Interval, Verdict
from sixwright.kernel.sentences import Measure, Sentence, Value
from sixwright.line.landmarks import the
from sixwright.topics.likeness.asks import how_far
from sixwright.topics.likeness.directions import feature_way, landmark_way
from sixwright.topics.likeness.model import Feature, LandmarkAnswer, RoundAnswer


@dataclass(frozen=True, slots=True)
class Wish:
    """One thing that can be asked.

    Attributes
    ----------
    id
        Within the round: ``nose``, ``nose-size``, ``pronasale-mid``.
    about
        The feature or the landmark, in plain words.
    landmark, side
        Of a landmark; empty of a feature.
    words
        What is asked, with its interval, as a sentence for the sculptor.
    direction
        Where to and how far, in the words that `ask_ways` reads.
    mm
        How far altogether, at 1:6; of a size, on each side.
    off_mm
        The same with its interval, as it was found; None where a direction is open.
    """

    id: str
    about: str
    landmark: str
    side: str
    words: Sentence
    direction: str
    mm: float
    off_mm: Interval | None
    chance_off: float | None
    verdict: Verdict


def wishes(one: RoundAnswer) -> tuple[Wish, ...]:
    """All that can be asked of a round, in the order in which it matters.

    Parameters
    ----------
    one
        A round, judged.

    Raises
    ------
    TypeError
        If a direction has no lengths: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “What is asked”; features first, as there.
    """
    whole = {key for f in one.features if f.move_mm or f.resized for key in f.landmarks}
    left = {key for f in one.features for key, _ in f.left}
    marks = [
        mark
        for mark in sorted(one.landmarks, key=lambda mark: -mark.weight_mm)
        if mark.ask_mm is not None and (mark.key not in whole or mark.key in left)
    ]
    features = sorted(one.features, key=lambda feature: -feature.excess_mm)
    return (
        *(wish for feature in features for wish in _of_feature(feature)),
        *(wish for mark in marks for wish in _of_landmark(mark, with_whole=mark.key in whole)),
    )


def _of_feature(feature: Feature) -> Iterator[Wish]:
    place = feature.name.replace(" ", "-")
    if feature.move_mm is not None:
        template, values = feature_way(feature.move_mm, feature.name)
        told = {"name": _cap(feature.name)} | values | _ends(feature.distance_mm)
        yield Wish(
            place,
            feature.name,
            "",
            "",
            Sentence("{name} " + template + " as a whole" + _range(values), told),
            _plain(template, values),
            _length(values),
            feature.distance_mm,
            feature.chance_off,
            feature.verdict,
        )
    if feature.resized and feature.resize_mm is not None:
        yield _resize(feature, feature.resize_mm, place)


def _resize(feature: Feature, found: Interval, place: str) -> Wish:
    wide, narrow = ("wider", "narrower") if feature.name == "jaw" else ("larger", "smaller")
    way = f"{wide if feature.grows else narrow} a side"
    amount: dict[str, Value] = {"a": _measure(float(found.value))}
    return Wish(
        f"{place}-size",
        feature.name,
        "",
        "",
        Sentence(
            "{name} {a} " + way + " ({low} to {high}).",
            {"name": _cap(feature.name)} | amount | _ends(found),
        ),
        _plain("{a} " + way, amount),
        _length(amount),
        found,
        feature.chance_off,
        feature.verdict,
    )


def _of_landmark(mark: LandmarkAnswer, *, with_whole: bool) -> Iterator[Wish]:
    if mark.ask_mm is None:
        return
    template, values = landmark_way(mark.ask_mm, mark.side)
    tail = " all told, with the whole" if with_whole else ""
    if mark.off_mm is None:
        bracket, ends = how_far(mark)
        bracket += "."
    else:
        bracket, ends = _range(values), _ends(mark.off_mm)
    told = {"name": _cap(mark.name)} | values | ends
    yield Wish(
        f"{mark.landmark}-{mark.side}",
        mark.name,
        mark.landmark,
        mark.side,
        Sentence("{name} " + template + tail + bracket, told),
        _plain(template, values),
        _length(values),
        mark.off_mm,
        mark.chance_off,
        mark.verdict,
    )


def _cap(name: str) -> str:
    told = the(name)
    return told[:1].upper() + told[1:]


def _measure(amount: float) -> Measure:
    return Measure(amount, "mm", 1 if amount >= 0.1 else 2)


def _ends(off: Interval) -> dict[str, Value]:
    return {"low": Measure(off.low, "mm", 1), "high": Measure(off.high, "mm", 1)}


def _range(values: dict[str, Value]) -> str:
    """The interval, in words; of two directions it is that of the whole way."""
    return " ({low} to {high} altogether)." if len(values) > 1 else " ({low} to {high})."


def _rounded(value: Value) -> float:
    if not isinstance(value, Measure):
        raise TypeError(f"value must be a length; received {value!r}.")
    return round(float(value.value), 2)


def _plain(template: str, values: dict[str, Value]) -> str:
    """The direction as it is kept: with decimal points, whatever the locale."""
    return template.format(**{name: f"{_rounded(v):g} mm" for name, v in values.items()})


def _length(values: dict[str, Value]) -> float:
    """How far altogether, of what is said: to hundredths."""
    return round(sqrt(sum(_rounded(value) ** 2 for value in values.values())), 2)
