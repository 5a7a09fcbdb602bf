"""A verdict with its evidence: the one object that page, command, report and JSON word."""

from dataclasses import dataclass

from sixwright.kernel.intervals import Interval, Limit, Verdict
from sixwright.kernel.sentences import Sentence


@dataclass(frozen=True, slots=True)
class Subject:
    """What a finding is about: a kind of thing and its id."""

    kind: str
    id: str


@dataclass(frozen=True, slots=True)
class Fix:
    """A change of the folder that would settle a finding, offered as a button.

    Attributes
    ----------
    label
        A verb and its object: “Add the hand”.
    table, id
        The row to change or to add.
    cells
        Column and text to write there; a row that is not there yet is added with them.
    """

    label: str
    table: str
    id: str
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Accepted:
    """Who decided to live with a finding, when, why, and the value it had then."""

    by: str
    date: str
    reason: str
    value: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule judged on one subject.

    Attributes
    ----------
    topic, rule
        Stable names; ``topic.rule`` is documented once, in docs/topics.
    verdict
        What the interval rule made of `measured` and `limit`, or `unchecked`.
    subject
        The thing judged.
    message
        What is so: names the thing, the amount, the consequence.
    remedy
        What to do about it, or None where nothing needs doing.
    measured, limit, unit
        The evidence; `measured` is None where an input is missing.
    missing
        The inputs that are missing, each as ``table/id/column``.
    source
        Where the rule or limit comes from.
    weight
        Orders findings of one verdict: what it costs or touches, larger first.
    fix
        A change that would settle it, where one edit can.
    """

    topic: str
    rule: str
    verdict: Verdict
    subject: Subject
    message: Sentence
    source: str
    remedy: Sentence | None = None
    measured: Interval | None = None
    limit: Limit | None = None
    unit: str = ""
    missing: tuple[str, ...] = ()
    weight: float = 0.0
    fix: Fix | None = None
    accepted: Accepted | None = None

    @property
    def id(self) -> str:
        """Stable name of the finding: ``topic.rule:kind/subject``."""
        return f"{self.topic}.{self.rule}:{self.subject.kind}/{self.subject.id}"
