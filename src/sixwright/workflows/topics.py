"""The topics that are built, each with what makes its inputs, in the order of the questions."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic

from sixwright.kernel.topic import Answer, Inputs, Topic
from sixwright.topics.care.topic import CARE
from sixwright.topics.dates.topic import DATES
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.money.topic import MONEY
from sixwright.topics.voices.topic import VOICES
from sixwright.workflows import joins
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.reviewed import Given


@dataclass(frozen=True, slots=True)
class Joined(Generic[Inputs, Answer]):
    """A topic, and the function that makes its inputs of the line and of other answers."""

    topic: Topic[Inputs, Answer]
    join: Callable[[Given], Inputs]


# Each after what it rests on.
JOINED: tuple[Joined[Any, Any], ...] = (
    Joined(LINEUP, joins.lineup),
    Joined(LIKENESS, joins.likeness),
    Joined(MONEY, joins.money),
    Joined(DATES, joins.dates),
    Joined(VOICES, joins.voices),
    Joined(CARE, joins.care),
    Joined(CHOICES, joins.choices),
)
TOPICS: tuple[Topic[Any, Any], ...] = tuple(joined.topic for joined in JOINED)
BY_ID = {topic.id: topic for topic in TOPICS}
