"""A line with its questions answered: each topic's inputs, answer and findings, got typed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Generic

from sixwright.kernel.findings import Accepted, Chance, Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.topic import Answer, Inputs, Topic
from sixwright.project.model import Project


@dataclass(frozen=True, slots=True)
class Judged(Generic[Inputs, Answer]):
    """One topic of a line.

    Attributes
    ----------
    inputs, answer
        None where the topic, or one that it rests on, ran into a fault of ours, or where it is
        being worked out for the first time.
    pending
        Whether the answer to the inputs as they are now is still being worked out: what is here
        is the last one.
    stopped
        Whether that was stopped: what is here, if anything, is the answer before it.
    """

    inputs: Inputs | None
    answer: Answer | None
    findings: tuple[Finding, ...]
    pending: bool = False
    stopped: bool = False
    chances: tuple[Chance, ...] = ()


@dataclass(frozen=True, slots=True)
class Answered:
    """The topics of a line that are answered, by id; `of` and `inputs_of` get them typed."""

    judged: Mapping[str, Judged[Any, Any]]

    def get(self, topic: Topic[Inputs, Answer]) -> Answer | None:
        """A topic's answer; None where it was not asked, or could not be answered."""
        found: Judged[Inputs, Answer] | None = self.judged.get(topic.id)
        return None if found is None else found.answer

    def of(self, topic: Topic[Inputs, Answer]) -> Answer:
        """A topic's answer.

        Raises
        ------
        KeyError
            If it was not asked, or could not be answered.
        """
        found = self.get(topic)
        if found is None:
            raise KeyError(topic.id)
        return found

    def inputs_of(self, topic: Topic[Inputs, Answer]) -> Inputs:
        """What a topic's answer was computed from.

        Raises
        ------
        KeyError
            If it was not asked, or its inputs could not be made.
        """
        found: Judged[Inputs, Answer] | None = self.judged.get(topic.id)
        if found is None or found.inputs is None:
            raise KeyError(topic.id)
        return found.inputs


@dataclass(frozen=True, slots=True)
class Review:
    """Everything that was computed of a line on one day.

    Attributes
    ----------
    answered
        The topics asked for, and those that they rest on.
    findings
        Of the topics asked for, worst verdict first, then the largest weight.
    verdicts, verdict
        The worst of each topic asked for, and of all.
    counts
        How many findings have each verdict; every verdict is a key.
    lapsed
        Finding id to an acceptance that no longer stands, because the value left the interval
        that was accepted, the verdict changed, or the finding is gone.
    chances
        What could be saved, by topic, the most first; none of it is a fault.
    """

    project: Project
    today: date
    answered: Answered
    findings: tuple[Finding, ...]
    verdicts: Mapping[str, Verdict]
    verdict: Verdict
    counts: Mapping[Verdict, int]
    lapsed: Mapping[str, Accepted] = field(default_factory=dict)
    chances: tuple[Chance, ...] = ()

    def get(self, topic: Topic[Inputs, Answer]) -> Answer | None:
        """A topic's answer; None where it was not asked, or could not be answered."""
        return self.answered.get(topic)

    def of(self, topic: Topic[Inputs, Answer]) -> Answer:
        """A topic's answer; KeyError where there is none."""
        return self.answered.of(topic)

    def inputs_of(self, topic: Topic[Inputs, Answer]) -> Inputs:
        """What a topic's answer was computed from; KeyError where there is none."""
        return self.answered.inputs_of(topic)

    @property
    def pending(self) -> frozenset[str]:
        """Topics whose answers to the line as it is now are still being worked out."""
        judged = self.answered.judged
        return frozenset(topic for topic, found in judged.items() if found.pending)

    @property
    def stopped(self) -> frozenset[str]:
        """Topics whose answers to the line as it is now were stopped on their way."""
        judged = self.answered.judged
        return frozenset(topic for topic, found in judged.items() if found.stopped)


# The inputs of a topic, by its id, on the same line with some changes.
InputsOn = Callable[[Project, str], Any]


@dataclass(frozen=True, slots=True)
class Given:
    """What a join may make a topic's inputs of: the line, the day, what is answered so far.

    Attributes
    ----------
    inputs_on
        The inputs of a topic on the same line with changes.
    """

    project: Project
    today: date
    answered: Answered
    inputs_on: InputsOn

    def of(self, topic: Topic[Inputs, Answer]) -> Answer:
        """The answer of a topic that this one needs; KeyError where it is not answered."""
        return self.answered.of(topic)
