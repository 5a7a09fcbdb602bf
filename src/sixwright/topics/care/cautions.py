"""The usual cautions: on a part, on a box, and for buyers."""

from collections.abc import Collection, Iterable, Iterator, Mapping

from sixwright.kernel.sentences import Names, Sentence
from sixwright.line.boxes import NO_HAZARD, Part
from sixwright.topics.care.hazards import BY_WORD, CELL, HAZARDS, MAGNET, SMALL_PART
from sixwright.topics.care.small_parts import GaugeFit, fit

SOFT = frozenset({"garment"})  # kinds of part that fold
_SWALLOWED = (MAGNET, CELL)
_CUT = ("sharp", "point", "glass")
_ALONE = {
    "cord": Sentence("Has a cord or lead, which can strangle. Keep it away from small children."),
    "hot": Sentence("A part gets hot in use. Do not cover it; let it cool before touching it."),
    "mains": Sentence("Connects to the mains. Use it indoors and dry, and do not open it."),
}
DECIDES = Sentence("Local codes and accredited testing decide; nothing here is a test.")


def stated(part: Part) -> frozenset[str] | None:
    """What is stated to hurt on a part; empty where none is; None while nobody has said."""
    return None if part.hazards is None else frozenset(part.hazards) - {NO_HAZARD}


def size_fit(part: Part) -> GaugeFit:
    """What a part's three lengths say about the small-parts cylinder."""
    lengths = (part.length_mm, part.width_mm, part.height_mm)
    return fit(lengths, folds=part.kind in SOFT)


def hazards_in(parts: Iterable[Part]) -> frozenset[str]:
    """What is stated to hurt on any of these parts, and small parts by their size."""
    found: set[str] = set()
    for part in parts:
        found |= stated(part) or frozenset()
        if size_fit(part) is GaugeFit.FITS:
            found.add(SMALL_PART)
    return frozenset(found)


def hazards_of_box(parts: Mapping[str, Part], held: Mapping[str, int | None]) -> frozenset[str]:
    """What can hurt in a box, of parts by id and how many of each lie in it."""
    return hazards_in(parts[id_] for id_, count in held.items() if count != 0)


def not_stated(parts: Mapping[str, Part], held: Mapping[str, int | None]) -> tuple[str, ...]:
    """Parts in a box of which nobody has said what could hurt."""
    return tuple(id_ for id_, count in held.items() if count != 0 and parts[id_].hazards is None)


def short(hazards: Collection[str]) -> str:
    """Hazards of one part in a few words: “magnet, small part”."""
    return ", ".join(hazard.short for hazard in HAZARDS if hazard.word in hazards)


def many(hazards: Collection[str]) -> str:
    """Hazards of a box in a few words: “small magnets, sharp edges”."""
    return ", ".join(hazard.many for hazard in HAZARDS if hazard.word in hazards)


def for_buyers(hazards: Collection[str]) -> Iterator[Sentence]:
    """What a box says to those who open it, the gravest first.

    Nothing where nothing is known: that is not said to be safe.
    """
    swallowed = _named(_SWALLOWED, hazards)
    if swallowed.texts:
        yield Sentence(
            "Contains {things}. Dangerous if swallowed. Keep away from children.",
            {"things": swallowed},
        )
        yield Sentence("If one may have been swallowed, get medical help at once.")
    if SMALL_PART in hazards:
        yield Sentence("Contains small parts, on which a child can choke.")
    cut = _named(_CUT, hazards)
    if cut.texts:
        yield Sentence("Has {things}. Handle with care.", {"things": cut})
    yield from (caution for word, caution in _ALONE.items() if word in hazards)


def for_boxes(
    hazards: Mapping[str, Collection[str]],
) -> Iterator[tuple[tuple[str, ...], tuple[Sentence, ...]]]:
    """The cautions of several boxes, those alike said once: boxes, and what is said of them.

    Each box has the cautions of all groups that name it, the gravest group first.

    Parameters
    ----------
    hazards
        Edition or set to what can hurt in it.
    """
    words_of: dict[tuple[str, ...], list[str]] = {}
    for hazard in HAZARDS:
        boxes = tuple(sells for sells, words in hazards.items() if hazard.word in words)
        if boxes:
            words_of.setdefault(boxes, []).append(hazard.word)
    for boxes, words in words_of.items():
        yield boxes, tuple(for_buyers(words))


def _named(words: Iterable[str], hazards: Collection[str]) -> Names:
    return Names(tuple(BY_WORD[word].many for word in words if word in hazards))
