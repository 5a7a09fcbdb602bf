"""Where each number’s formula is told: from an answer or a table to a section of the docs."""

import re
from collections.abc import Mapping
from dataclasses import replace

from sixwright.reports.document import Answer, Block, Document, Fold, Link, Table

WORDS = "How this is worked out"
METHOD = "the-method"
# Topic to the names of its tables (as patterns) and the section of docs/topics/ with the formula.
SECTIONS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "lineup": (("Pieces in each box", METHOD),),
    "likeness": (
        (".+, by feature", "what-is-asked"),
        ("Where .+ is off", "the-verdict-of-a-landmark"),
        (".+: from round to round", "between-rounds"),
        (".+: which still would tell more", "next-still"),
        ("The stills of .+", "the-camera"),
        ("Sculpt files", "the-mesh-of-a-round"),
        (".+asked.*", "what-became-of-an-ask"),
    ),
    "money": (
        ("What becomes of each box’s price", "a-box"),
        ("Chances", "chances"),
        ("Fixed costs and cash", "the-line"),
        ("Tool by tool", "a-shared-tool"),
        (".+: its quotes side by side", "rival-ways"),
        ("What each part costs", "a-part"),
    ),
    "dates": (
        ("What was promised", "promise"),
        ("Task by task", "plan"),
        ("What slipped, and why", "what-slipped"),
        ("What buys most time", "what-buys-most-time"),
        ("Where the chain waits for whom", "load"),
    ),
    "voices": (
        ("What they say: .+", "who-counts"),
        ("Whom each box reaches", "sets"),
        ("Where .+ goes", "a-divided-option"),
        ("Which go together", "sets"),
        ("Who speaks of what", "subjects"),
        ("Words that no subject has", "groups"),
        ("Comments: .+", "groups"),
    ),
    "care": (
        ("Cautions on each box", "cautions"),
        ("Part by part", "small-by-size"),
        ("In the workshop", "cautions"),
        ("Rules", "rules-of-law-and-standards"),
    ),
    "choices": (
        (".+, side by side", "measures"),
        ("All choices together", "all-together"),
        ("What was decided", "what-was-taken"),
    ),
}


def with_methods(shown: Document) -> Document:
    """A topic’s page whose answer and tables lead to where their formulas are told."""
    return replace(shown, blocks=tuple(_led(block, shown.topic) for block in shown.blocks))


def _led(block: Block, topic: str) -> Block:
    if isinstance(block, Fold):
        return replace(block, blocks=tuple(_led(inner, topic) for inner in block.blocks))
    if isinstance(block, Answer):
        return replace(block, how=_link(topic, METHOD))
    if isinstance(block, Table):
        section = section_of(topic, block.name)
        return block if section is None else replace(block, how=_link(topic, section))
    return block


def section_of(topic: str, table: str) -> str | None:
    """The section of a topic’s docs that tells a table’s formulas; None where none is stated."""
    known = SECTIONS.get(topic, ())
    return next((section for name, section in known if re.fullmatch(name, table)), None)


def _link(topic: str, section: str) -> Link:
    return Link(f"docs/topics/{topic}", section, WORDS)
