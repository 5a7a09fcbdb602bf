"""What care needs and what it answers: what can hurt, on each part and in each box."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sixwright.kernel.intervals import Interval
from sixwright.line.boxes import Part, Sold
from sixwright.line.making import Way
from sixwright.topics.care.small_parts import GaugeFit
from sixwright.topics.care.suggestions import Suggestion


@dataclass(frozen=True, slots=True)
class Inputs:
    """What can hurt, as far as the folder says.

    Attributes
    ----------
    line
        Id of the line.
    parts, ways, sells
        The nouns, by id, in the folder's order.
    contents
        Edition or set, then part: pieces in one box; None while unknown.
    part_notes, quote_notes
        Part, or way, to the note on it; those without one are absent.
    """

    line: str
    parts: Mapping[str, Part]
    ways: Mapping[str, Way]
    sells: Mapping[str, Sold]
    contents: Mapping[str, Mapping[str, int | None]]
    part_notes: Mapping[str, str] = field(default_factory=dict)
    quote_notes: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PartCare:
    """One part.

    Attributes
    ----------
    stated
        Hazards that are stated; empty where none is; None while nobody has said.
    asked
        What words suggest and the part does not state.
    fit
        Whether its size fits the small-parts cylinder.
    flux_index
        Of its magnet, kG²·mm²; None where it has none, or where grade and size are not stated.
    """

    stated: frozenset[str] | None
    asked: tuple[Suggestion, ...]
    fit: GaugeFit
    flux_index: Interval | None


@dataclass(frozen=True, slots=True)
class Answer:
    """What can hurt.

    Attributes
    ----------
    parts
        By id, in the folder's order.
    boxes
        Edition or set to its hazards: stated ones, and small parts by their size.
    not_stated
        Edition or set to the parts in it of which nobody has said what could hurt.
    bench
        Kind of work to the parts on which it is done.
    """

    parts: Mapping[str, PartCare]
    boxes: Mapping[str, frozenset[str]]
    not_stated: Mapping[str, tuple[str, ...]]
    bench: Mapping[str, tuple[str, ...]]


def as_json(answer: Answer) -> dict[str, object]:
    """The answer as `check --json` gives it: null for what is not known."""
    return {
        "parts": {id_: _part(part) for id_, part in answer.parts.items()},
        "boxes": {
            sells: {"hazards": sorted(hazards), "not_stated": list(answer.not_stated[sells])}
            for sells, hazards in answer.boxes.items()
        },
        "workshop": {work: list(parts) for work, parts in answer.bench.items()},
    }


def _part(part: PartCare) -> dict[str, object]:
    flux = part.flux_index
    small = {GaugeFit.FITS: True, GaugeFit.TOO_LONG: False}
    return {
        "stated": None if part.stated is None else sorted(part.stated),
        "asked": [suggestion.hazard for suggestion in part.asked],
        "small_part": small.get(part.fit),
        "flux_index": None
        if flux is None
        else {"value": flux.value, "low": flux.low, "high": flux.high},
    }
