"""What words of a part suggest, so that it can be asked; nothing is assumed from them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sixwright.line.boxes import Part
from sixwright.line.making import Way
from sixwright.topics.care.hazards import HAZARDS, Hazard


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A hazard that a word suggests.

    Attributes
    ----------
    where
        ``kind``, ``name``, ``way`` (its id), ``process`` or ``note``.
    said
        The word there.
    names_it
        Whether the word names the thing itself (“magnet”), and is no mere hint (“steel”).
    """

    hazard: str
    where: str
    said: str
    names_it: bool


def suggestions(
    part: Part, ways: Iterable[Way], notes: Iterable[str] = ()
) -> tuple[Suggestion, ...]:
    """What kind, name, way, process and notes of a part suggest, each hazard once.

    Parameters
    ----------
    ways
        The way that is chosen for the part, or all that it may be made by.
    notes
        What the producer wrote on the part and on those ways.

    Source
    ------
    Own choice: words of English. A word that is not listed suggests nothing.
    """
    texts = [("name", part.name)]
    for way in ways:
        texts += [("process", way.process), ("way", way.id.replace("-", " "))]
    texts += [("note", note) for note in notes]
    found = (_of_hazard(hazard, part.kind, texts) for hazard in HAZARDS)
    return tuple(suggestion for suggestion in found if suggestion is not None)


def _of_hazard(hazard: Hazard, kind: str, texts: list[tuple[str, str]]) -> Suggestion | None:
    """The strongest suggestion of a hazard: what names it, then a hint, then the kind."""
    return next(_all(hazard, kind, texts), None)


def _all(hazard: Hazard, kind: str, texts: list[tuple[str, str]]) -> Iterator[Suggestion]:
    for pattern, names_it in ((hazard.says, True), (hazard.suggests, False)):
        for where, text in texts if pattern is not None else ():
            found = pattern.search(text) if pattern is not None else None
            if found is not None:
                yield Suggestion(hazard.word, where, found[0], names_it)
    if kind in hazard.kinds:
        yield Suggestion(hazard.word, "kind", kind, names_it=False)
