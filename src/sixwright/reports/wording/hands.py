"""How surely a hand marks, in sentences."""

from collections.abc import Iterator

from sixwright.kernel.sentences import Count, Measure, Names, Sentence, Value
from sixwright.line.landmarks import LANDMARKS, name_of
from sixwright.numerics.repeats import Repeats
from sixwright.workflows.calibrate import Hand

WORDS = {"sharp": "Sharp", "soft": "Soft", "guess": "A guess"}


def told_hand(hand: Hand) -> Iterator[Sentence]:
    """What was found of each kind of mark, and what was left out."""
    for word, found in hand.spreads.items():
        if found.found is not None:
            yield _told(WORDS[word], found)
    none = tuple(WORDS[word] for word, found in hand.spreads.items() if found.found is None)
    if none:
        yield Sentence("Not among them, so as before: {kinds}.", {"kinds": Names(none)})
    if hand.far:
        names = tuple(
            name_of(key, LANDMARKS[key[0]].term.name if key[0] in LANDMARKS else key[0])
            for key in hand.far
        )
        yield Sentence(
            "Left out, because the two lie so far apart that one is another place: {names}.",
            {"names": Names(names)},
        )


def _told(word: str, found: Repeats) -> Sentence:
    interval = found.found
    values: dict[str, Value] = {
        "word": word,
        "count": Count(found.pairs, "landmark", "landmarks"),
        "used": Measure(found.used, "px", 1),
    }
    if interval is not None:
        values |= {"value": Measure(interval.value, "px", 1), "low": Measure(interval.low, "px", 1),
                   "high": Measure(interval.high, "px", 1)}  # fmt: skip
    return Sentence(
        "{word}: {value} by {count} ({low} to {high}); with what is usual, {used} is used.", values
    )
