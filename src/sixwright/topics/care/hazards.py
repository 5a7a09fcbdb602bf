"""What can hurt: how each hazard is named and asked for, and what words suggest it."""

import re
from dataclasses import dataclass

from sixwright.kernel.sources import Source
from sixwright.topics.care import sources


@dataclass(frozen=True, slots=True)
class Hazard:
    """One word of the column `hazards`.

    Attributes
    ----------
    short, many
        As it is named in a row, and of a box.
    question
        How it is asked for.
    says
        Words that name the thing itself: asked for also where something else is stated.
    suggests
        Words that often go with it: asked for where nothing is stated.
    kinds
        Kinds of part that often have it.
    remedy
        What to do, and what to have tested.
    """

    word: str
    short: str
    many: str
    question: str
    source: Source
    remedy: str
    says: re.Pattern[str] | None = None
    suggests: re.Pattern[str] | None = None
    kinds: tuple[str, ...] = ()


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w)(?:{pattern})(?!\w)", re.IGNORECASE)


MAGNET, CELL, SMALL_PART = "magnet", "cell", "small-part"
HAZARDS = (
    Hazard(
        MAGNET,
        "magnet",
        "small magnets",
        "Are there magnets in it?",
        sources.MAGNETS,
        "Hold it so that nobody can take it out, have an accredited laboratory test that, and "
        "accept this with the number of its report.",
        says=_words(
            r"magnet\w*|aimants?|imán|imanes|neodym\w*|ndfeb|n(?:3[05]|38|4[0258]|5[025])(?:m|h|sh)?"
        ),
        kinds=("base",),
    ),
    Hazard(
        CELL,
        "button cell",
        "button cells",
        "Are there button or coin cells in it?",
        sources.CELLS,
        "Close the cells in behind a screw, and have an accredited laboratory test the "
        "compartment.",
        says=_words(
            r"(?:button|coin)[ -]?(?:cell|batter)\w*|[cbs]r\d{4}w?|[ls]r[4-6]\d"
            r"|knopfzellen?|piles? boutons?|pilas? (?:de )?bot[oó]n|pil[ae] a bottone"
        ),
        suggests=_words(r"batter(?:y|ies)|cells?"),
    ),
    Hazard(
        "sharp",
        "sharp edge",
        "sharp edges",
        "Has it a sharp edge?",
        sources.EDGES,
        "Round or cover the edge; have an accredited laboratory judge it.",
        says=_words(r"blades?|sharp edges?|razor\w*"),
        suggests=_words(r"steel|tin|zinc|brass|bronze|alumini?um|copper|sheet metal|etched"),
        kinds=("metal",),
    ),
    Hazard(
        "point",
        "sharp point",
        "sharp points",
        "Has it a sharp point?",
        sources.POINTS,
        "Turn the point in or blunt it, so that wear does not bring it out; have an accredited "
        "laboratory judge it.",
        says=_words(r"needles?|spikes?|barbs?|thorns?"),
        suggests=_words(r"wires?|pins?|rods?|nails?"),
    ),
    Hazard(
        SMALL_PART,
        "small part",
        "small parts",
        "Is it a small part?",
        sources.SMALL_PARTS,
        "Keep the caution on the box.",
    ),
    Hazard(
        "cord",
        "cord",
        "a cord or lead",
        "Is there a cord or lead on it?",
        sources.PRACTICE,
        "Keep it short, or so that it comes apart when pulled; have an accredited laboratory judge "
        "it.",
        says=_words(r"cords?|lanyards?"),
        suggests=_words(r"leads?|cables?|chains?|straps?|ropes?|strings?|laces?"),
    ),
    Hazard(
        "glass",
        "glass",
        "glass",
        "Is there glass in it?",
        sources.EDGES,
        "Pack it so that it cannot break; have an accredited laboratory judge its edges.",
        says=_words(r"glass"),
        suggests=_words(r"mirrors?|lens(?:es)?|crystal"),
    ),
    Hazard(
        "hot",
        "gets hot",
        "a part that gets hot",
        "Does it get hot?",
        sources.PRACTICE,
        "Have its temperature in use measured by an accredited laboratory.",
        says=_words(r"heat(?:er|ed|ing)"),
        suggests=_words(r"leds?|lamps?|bulbs?"),
        kinds=("light",),
    ),
    Hazard(
        "mains",
        "mains",
        "a connection to the mains",
        "Is it plugged into the mains?",
        sources.PRACTICE,
        "Local electrical codes decide: buy a supply that an accredited laboratory has approved "
        "where you sell, and leave work on the mains to a licensed electrician.",
        says=_words(r"mains|(?:110|115|120|220|230|240) ?v(?:ac)?"),
        suggests=_words(r"plugs?|adapt[eo]rs?|power supply|usb(?:-c)?"),
        kinds=("light",),
    ),
)
BY_WORD = {hazard.word: hazard for hazard in HAZARDS}
