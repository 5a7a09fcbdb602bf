"""What can hurt on each part and in each box, and what is still to be said."""

from sixwright.line.boxes import Part
from sixwright.line.making import Way
from sixwright.topics.care.cautions import hazards_of_box, not_stated, size_fit, stated
from sixwright.topics.care.hazards import MAGNET
from sixwright.topics.care.magnets import flux_index, read_disc
from sixwright.topics.care.model import Answer, Inputs, PartCare
from sixwright.topics.care.suggestions import Suggestion, suggestions
from sixwright.topics.care.workshop import at_the_bench


def answer(inputs: Inputs) -> Answer:
    """What can hurt on each part and in each box.

    Raises
    ------
    KeyError
        If the contents name a part that is not there.

    Source
    ------
    docs/topics/care.md.
    """
    return Answer(
        {id_: _part(inputs, part) for id_, part in inputs.parts.items()},
        {sells: hazards_of_box(inputs.parts, held) for sells, held in inputs.contents.items()},
        {sells: not_stated(inputs.parts, held) for sells, held in inputs.contents.items()},
        at_the_bench(inputs.parts, inputs.ways),
    )


def _ways(inputs: Inputs, part: Part) -> tuple[Way, ...]:
    """The way that is chosen for a part; all of its ways where none is."""
    if part.way and part.way in inputs.ways:
        return (inputs.ways[part.way],)
    return tuple(way for way in inputs.ways.values() if way.part == part.id)


def _notes(inputs: Inputs, part: Part, ways: tuple[Way, ...]) -> tuple[str, ...]:
    """What was noted on a part and on the ways that it is, or may be, made by."""
    on = [inputs.part_notes.get(part.id), *(inputs.quote_notes.get(way.id) for way in ways)]
    return tuple(note for note in on if note)


def _part(inputs: Inputs, part: Part) -> PartCare:
    ways, known = _ways(inputs, part), stated(part)
    flux = None
    if known is not None and MAGNET in known:
        discs = (read_disc(text) for text in (*(way.process for way in ways), part.name))
        disc = next((disc for disc in discs if disc is not None), None)
        flux = flux_index(disc) if disc is not None else None
    suggested = suggestions(part, ways, _notes(inputs, part, ways))
    return PartCare(known, _asked(known, suggested), size_fit(part), flux)


def _asked(
    known: frozenset[str] | None, suggested: tuple[Suggestion, ...]
) -> tuple[Suggestion, ...]:
    """What is to be asked: all that is suggested, or, of what was stated, what is named and not."""
    if known is None:
        return suggested
    return tuple(each for each in suggested if each.names_it and each.hazard not in known)
