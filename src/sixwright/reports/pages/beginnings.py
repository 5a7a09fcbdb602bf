"""Where a question begins that a line has nothing of yet: what to bring in, and where."""

from collections.abc import Mapping

from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Link, Paragraph

_PARTS = ("It begins with a part, and a box that it lies in.", "tables/parts", "The table of parts")
# Topic to what it begins with, where that is brought in, and what the way there is called.
_BEGINNINGS: Mapping[str, tuple[str, str, str]] = {
    "lineup": _PARTS,
    "money": _PARTS,
    "care": _PARTS,
    "likeness": (
        "It begins with a mesh of the sculptor’s and with stills of the person.",
        "sculpts",
        "Bring in meshes and stills",
    ),
    "dates": (
        "It begins with a task and its days; links say what comes after what.",
        "tables/tasks",
        "The table of tasks",
    ),
    "voices": (
        "It begins with a poll; its votes are taken in at the prompt, by sixwright collect.",
        "tables/polls",
        "The table of polls",
    ),
    "choices": (
        "It begins with a change that is tried on a page and kept as an option.",
        "docs/editing",
        "How to try without saving",
    ),
}


def beginning(topic: str) -> tuple[Paragraph, ...]:
    """What a topic begins with, and the way there.

    Parameters
    ----------
    topic
        Its id.
    """
    if topic not in _BEGINNINGS:
        return ()
    told, page, words = _BEGINNINGS[topic]
    return (Paragraph((Sentence(told),), (Link(page, "", words),)),)
