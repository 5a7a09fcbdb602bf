"""Rules, and what they find: a verdict with its evidence, worded alike wherever it is shown."""

from dataclasses import dataclass
from enum import Enum, IntEnum

from sixwright.kernel.errors import InternalError
from sixwright.kernel.intervals import Interval, Limit, Verdict, judge
from sixwright.kernel.sentences import Sentence
from sixwright.kernel.sources import Source
from sixwright.kernel.units import Unit


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
    """Who decided to live with a finding, when and why, and the evidence that it had then.

    Attributes
    ----------
    verdict
        That it had; empty in an acceptance of an older form, which kept the value alone.
    value, low, high
        The value and the ends of its interval, as decimal text; empty where nothing was measured.
    """

    by: str
    date: str
    reason: str
    value: str
    verdict: str = ""
    low: str = ""
    high: str = ""


class Doubt(Enum):
    """Why a verdict departs from its interval; each topic has its own, with words for each.

    A member's value is what is said of it, and the verdict that it leads to.
    """

    @property
    def id(self) -> str:
        """Stable name, as data have it: ``past-its-date``."""
        return self.name.lower().replace("_", "-")

    @property
    def words(self) -> str:
        """What is so, to stand after “because”."""
        return str(self.value[0])

    @property
    def verdict(self) -> Verdict:
        """What it makes of the verdict."""
        return Verdict(self.value[1])


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was measured on one subject, what it must be, and what stands in the way.

    Attributes
    ----------
    measured, limit
        None where an input is missing, or where nothing limits it.
    missing
        The inputs that are missing, each as ``table/id/column``.
    doubt
        Why the verdict is not that of the interval.
    unit
        Of `measured` and `limit`; the rule's where None.
    source
        What it rests on; the rule's where None.
    """

    measured: Interval | None = None
    limit: Limit | None = None
    missing: tuple[str, ...] = ()
    doubt: Doubt | None = None
    unit: Unit | None = None
    source: Source | None = None

    @property
    def verdict(self) -> Verdict:
        """What the interval rule makes of it, or what the doubt does."""
        if self.doubt is not None:
            return self.doubt.verdict
        return Verdict.UNCHECKED if self.limit is None else judge(self.measured, self.limit)


class Stakes(IntEnum):
    """What is at stake where a rule fails, the gravest first; own choice of the order."""

    HARM = 0
    MONEY = 1
    FACE = 2
    BOX = 3
    RECORD = 4


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that is judged, the same on every subject.

    Attributes
    ----------
    topic, id
        Stable names; ``topic.id`` is documented once, in docs/topics.
    measures
        What it measures, in a few words: “Orders assumed”.
    unit
        Of what it measures.
    source
        Where the rule or its limit comes from.
    link
        Place on the topic's page where its method is told.
    stakes
        What is at stake where it fails: somebody's health, money or a promise to buyers, the
        likeness, what a box contains, or what the tables say.
    """

    topic: str
    id: str
    measures: str
    unit: Unit
    source: Source
    link: str = "method"
    stakes: Stakes = Stakes.BOX

    def finding(  # noqa: PLR0913  a finding says all of this
        self,
        subject: Subject,
        seen: Evidence,
        message: Sentence,
        *,
        remedy: Sentence | None = None,
        weight: float = 0.0,
        fix: Fix | None = None,
    ) -> "Finding":
        """What the rule found on one subject.

        Parameters
        ----------
        seen
            The evidence, which makes the verdict.
        message
            What is so: names the thing, the amount, the consequence.
        remedy
            What to do about it, or None where nothing needs doing.
        weight
            Orders findings of one verdict: what it costs or touches, larger first.
        fix
            A change that would settle it, where one edit can.

        Raises
        ------
        InternalError
            If it cannot be judged and neither what is missing nor why is named.
        """
        verdict = seen.verdict
        if verdict is Verdict.UNCHECKED and not seen.missing and seen.doubt is None:
            raise InternalError(f"{self.topic}.{self.id} must name what is missing, or why.")
        return Finding(self, subject, seen, verdict, message, remedy, weight, fix)


@dataclass(frozen=True, slots=True)
class Chance:
    """Something that could be saved or gained: no fault, so it has no verdict.

    Attributes
    ----------
    topic, kind
        Stable names; ``topic.kind`` is documented once, in docs/topics.
    subject
        What it is about.
    saving
        What it saves, with its interval, in `unit`.
    message
        What to do, and what that saves.
    remedy
        What to do first, or None.
    """

    topic: str
    kind: str
    subject: Subject
    saving: Interval
    unit: Unit
    message: Sentence
    remedy: Sentence | None = None

    @property
    def id(self) -> str:
        """Stable name: ``money.break:part/body``."""
        return f"{self.topic}.{self.kind}:{self.subject.kind}/{self.subject.id}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule judged on one subject: the one object that page, command, report and JSON word.

    Attributes
    ----------
    judged_by
        The rule.
    subject
        The thing judged.
    seen
        The evidence.
    verdict
        That of the evidence.
    message, remedy, weight, fix
        As in `Rule.finding`.
    """

    judged_by: Rule
    subject: Subject
    seen: Evidence
    verdict: Verdict
    message: Sentence
    remedy: Sentence | None = None
    weight: float = 0.0
    fix: Fix | None = None
    accepted: Accepted | None = None

    @property
    def topic(self) -> str:
        """Id of the rule's topic."""
        return self.judged_by.topic

    @property
    def rule(self) -> str:
        """Id of the rule within its topic."""
        return self.judged_by.id

    @property
    def id(self) -> str:
        """Stable name of the finding: ``topic.rule:kind/subject``."""
        return f"{self.topic}.{self.rule}:{self.subject.kind}/{self.subject.id}"

    @property
    def measured(self) -> Interval | None:
        """The value with its interval; None where an input is missing."""
        return self.seen.measured

    @property
    def limit(self) -> Limit | None:
        """What the value must be."""
        return self.seen.limit

    @property
    def unit(self) -> Unit:
        """Of the value and the limit."""
        return self.seen.unit or self.judged_by.unit

    @property
    def missing(self) -> tuple[str, ...]:
        """The inputs that are missing, each as ``table/id/column``."""
        return self.seen.missing

    @property
    def doubt(self) -> Doubt | None:
        """Why the verdict is not that of the interval."""
        return self.seen.doubt

    @property
    def source(self) -> Source:
        """Where the rule or its limit comes from."""
        return self.seen.source or self.judged_by.source
