"""Cautions for those who make the parts, by what their process says."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.line.boxes import Part
from sixwright.line.making import Way


@dataclass(frozen=True, slots=True)
class Bench:
    """One kind of work, the words of a process that tell it, and the usual cautions."""

    work: str
    words: re.Pattern[str]
    caution: str


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w)(?:{pattern})(?!\w)", re.IGNORECASE)


# Common practice, no source; the safety data sheet of what is used decides.
BENCHES = (
    Bench(
        "Resin",
        _words(r"resins?|epoxy|polyurethane|pu|sla"),
        "Uncured resin irritates, and can make skin allergic for good: the gloves that its safety "
        "data sheet names, fresh air, none on bare skin. Let waste cure before it is thrown away.",
    ),
    Bench(
        "Paint and solvents",
        _words(r"paint\w*|lacquer\w*|varnish\w*|solvents?|airbrush\w*|spray\w*|enamel\w*|decals?"),
        "Solvent vapour burns, and harms who breathes it: extraction or a mask with the filter "
        "that the safety data sheet names, no flame or spark near it, rags in a closed metal bin.",
    ),
    Bench(
        "Dust",
        _words(r"sand(?:ed|ing)|grind(?:ing)?|ground|mill(?:ed|ing)|fettl\w*|resins?|mdf|lost wax"),
        "Fine dust of resin, metal and wood harms the lungs and can burn: sand wet or with "
        "extraction, and wear a dust mask that fits.",
    ),
    Bench(
        "Metal",
        _words(r"zinc|bronze|brass|pewter|white metal|tin|lost wax|solder\w*|etch\w*|steel"),
        "Molten metal throws drops where there is any damp, and cut edges and swarf are sharp: "
        "face and hand protection, dry moulds, fresh air; alloys and solders with lead need more.",
    ),
    Bench(
        "Electrics",
        _words(r"leds?|usb(?:-c)?|wir(?:ed|ing)|lamps?|mains"),
        "Work on nothing that is under power. What is connected to the mains is for a licensed "
        "electrician, and local codes decide.",
    ),
)


def at_the_bench(
    parts: Mapping[str, Part], ways: Mapping[str, Way]
) -> Mapping[str, tuple[str, ...]]:
    """Kind of work to the parts whose chosen way says that it is done on them."""
    found: dict[str, tuple[str, ...]] = {}
    for bench in BENCHES:
        doing = tuple(
            part.id
            for part in parts.values()
            if part.way and part.way in ways and bench.words.search(ways[part.way].process)
        )
        if doing:
            found[bench.work] = doing
    return found
