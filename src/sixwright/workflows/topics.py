"""The topics that are built, in the order of the spine, and what each needs from others."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Topic:
    """One question: its id, its group on the spine, its words, the topics it rests on."""

    id: str
    group: str
    question: str
    needs: tuple[str, ...] = ()


CHOICES = "choices"
LIKENESS = "likeness"

_ANSWERED: tuple[Topic, ...] = (
    Topic("lineup", "The boxes", "What is in each box?"),
    Topic(LIKENESS, "The figure", "Does it hold from every side?"),
    Topic("money", "The sale", "What must it sell for?", needs=("lineup",)),
)
# A choice is tried on all that is answered, so it rests on every other topic.
_WAYS = Topic(
    CHOICES,
    "Open choices",
    "Which way should we go?",
    needs=tuple(topic.id for topic in _ANSWERED),
)
TOPICS: tuple[Topic, ...] = (*_ANSWERED, _WAYS)
BY_ID = {topic.id: topic for topic in TOPICS}
