"""What a sculptor is asked to change on a head, in their words: by feature, then what is left."""

from dataclasses import dataclass, field

from sixwright.kernel.sentences import Count, Measure, Name, Sentence, Value
from sixwright.line.landmarks import the
from sixwright.topics.likeness.directions import feature_way, landmark_way
from sixwright.topics.likeness.model import Feature, LandmarkAnswer, RoundAnswer
from sixwright.topics.likeness.remedies import chance_words

MOST = 4  # asks in one sentence; the rest is counted


@dataclass(slots=True)
class _Words:
    """Parts of a sentence, and the values of them all under names of their own."""

    parts: list[str] = field(default_factory=list)
    values: dict[str, Value] = field(default_factory=dict)

    def add(self, text: str, values: dict[str, Value]) -> None:
        """Another part; each value gets a name that no other part has."""
        at = len(self.parts)
        for name, value in values.items():
            text = text.replace("{" + name + "}", "{" + f"{name}{at}" + "}")
            self.values[f"{name}{at}"] = value
        self.parts.append(text)


def ask_sentence(one: RoundAnswer) -> Sentence | None:
    """What to change on a round, what matters most first; None where nothing is asked.

    Parameters
    ----------
    one
        A round, judged.

    Raises
    ------
    KeyError
        If a feature names a landmark that the round lacks: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “What is asked”.
    """
    words = _all(one)
    if not words.parts:
        return None
    shown, left = words.parts[:MOST], len(words.parts) - MOST
    text = "{head}: " + "; ".join(shown)
    values: dict[str, Value] = {"head": Name(one.name)} | words.values
    if left > 0:
        values["more"] = Count(left, "more ask", "more asks")
        text += "; {more} in the table"
    used = {name: value for name, value in values.items() if "{" + name + "}" in text}
    return Sentence(text + ". Leave the rest as it is.", used)


def _all(one: RoundAnswer) -> _Words:
    """Features first where they move as a whole, and single landmarks, by what they matter."""
    marks = {mark.key: mark for mark in one.landmarks}
    entries: list[tuple[float, Feature | LandmarkAnswer]] = []
    told = set()
    for feature in one.features:
        if feature.move_mm is not None or feature.resized:
            entries.append((feature.excess_mm, feature))
            told |= set(feature.landmarks)
    entries += [
        (mark.weight_mm, mark)
        for mark in one.landmarks
        if mark.ask_mm is not None and mark.key not in told
    ]
    words = _Words()
    for _, entry in sorted(entries, key=lambda pair: -pair[0]):
        if isinstance(entry, Feature):
            _feature(words, entry, marks)
        else:
            _landmark(words, entry, one.features)
    return words


def _range(low: float, high: float) -> dict[str, Value]:
    return {"low": Measure(low, "mm", 1), "high": Measure(high, "mm", 1)}


def _feature(words: _Words, feature: Feature, marks: dict[tuple[str, str], LandmarkAnswer]) -> None:
    """A feature as a whole, then what is left of its landmarks."""
    if feature.move_mm is not None:
        template, values = feature_way(feature.move_mm, feature.name)
        distance = feature.distance_mm
        words.add(
            "the {feature} " + template + " as a whole ({low} to {high})",
            {"feature": feature.name} | values | _range(float(distance.low), float(distance.high)),
        )
    grown = feature.resize_mm
    if feature.resized and grown is not None:
        larger, smaller = ("wider", "narrower") if feature.name == "jaw" else ("larger", "smaller")
        wide: dict[str, Value] = {"feature": feature.name, "a": Measure(grown.value, "mm", 1)}
        words.add(
            "the {feature} {a} " + (larger if feature.grows else smaller) + " a side ({low} to "
            "{high})",
            wide | _range(float(grown.low), float(grown.high)),
        )
    for key, left in feature.left:
        template, values = landmark_way(left, key[1])
        words.add("then {mark} " + template, {"mark": the(marks[key].name)} | values)


def _landmark(words: _Words, mark: LandmarkAnswer, features: tuple[Feature, ...]) -> None:
    """One landmark; alone where the rest of its feature stays."""
    if mark.ask_mm is None:
        return
    mine = next((f for f in features if mark.key in f.landmarks), None)
    alone = mine is not None and len(mine.left) == 1 and len(mine.landmarks) > 1
    template, values = landmark_way(mark.ask_mm, mark.side)
    tail, told = how_far(mark)
    words.add(
        "{mark}" + (" alone " if alone else " ") + template + tail,
        {"mark": the(mark.name)} | values | told,
    )


def how_far(mark: LandmarkAnswer) -> tuple[str, dict[str, Value]]:
    """How far a landmark is off, in brackets; where no interval is known, how likely it is off.

    Parameters
    ----------
    mark
        A landmark that is asked to move.

    Raises
    ------
    TypeError
        If an end of its interval is no number.
    """
    if mark.off_mm is not None:
        return " ({low} to {high})", _range(float(mark.off_mm.low), float(mark.off_mm.high))
    if mark.chance_off is None:
        return "", {}
    return " ({chance} that it is off by more than allowed; how far is open)", {
        "chance": chance_words(mark.chance_off)
    }
