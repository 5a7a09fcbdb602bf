"""Home: what has changed since the producer last looked, and what waits on whom."""

from collections import Counter
from collections.abc import Iterable

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Sentence, Value
from sixwright.project.model import Project
from sixwright.reports.document import (
    Block,
    Cell,
    Column,
    Fold,
    Heading,
    Items,
    Link,
    Paragraph,
    Row,
    Table,
)
from sixwright.reports.wording.changes import all_told
from sixwright.reports.wording.evidence import anchor, item
from sixwright.workflows.since import Since

YOU = "You"
# What is asked of a maker where a rule about a quote needs the producer.
OF_A_MAKER = {
    "quote-date": ("quote to renew", "quotes to renew"),
    "undated": ("last day of a quote to state", "last days of quotes to state"),
    "minimum": ("smaller run to ask for", "smaller runs to ask for"),
    "price-known": ("guess to put a quote in place of", "guesses to put quotes in place of"),
}
# What a maker has to state where a part's cost lacks it, by the column of its quote.
STATED = {
    "unit_price": ("price to state", "prices to state"),
    "tooling": ("tooling cost to state", "tooling costs to state"),
    "minimum": ("minimum to state", "minimums to state"),
    "yield": ("yield to state", "yields to state"),
}
OF_YOU = ("thing to decide", "things to decide")
TO_FILL_IN = ("check that waits for a value", "checks that wait for a value")
LEFT_OPEN = ("landmark that the stills leave open", "landmarks that the stills leave open")
# Tables whose empty cells a maker has to state.
QUOTED = ("ways/", "prices/")


def changed_since(moved: Since | None) -> tuple[Block, ...]:
    """What has moved; nothing at a first visit."""
    if moved is None:
        return ()
    blocks: list[Block] = [
        Heading("Since you last looked", "since"),
        Paragraph((_summary(moved),)),
    ]
    if moved.worse:
        items = Items(tuple(item(finding) for finding in moved.worse), brief=True, compact=True)
        blocks.append(Fold(Sentence("What needs you now and did not then"), (items,)))
    if moved.changes:
        told = all_told(moved.changes, moved.before, moved.after, most=12)
        blocks.append(Fold(Sentence("What was changed in the folder"), (Paragraph(told),)))
    return tuple(blocks)


def _summary(moved: Since) -> Sentence:
    values: dict[str, Value] = {"day": moved.day}
    said = [
        (name, count)
        for name, count in (
            ("worse", Count(len(moved.worse), "more thing needs you", "more things need you")),
            ("settled", Count(moved.settled, "is settled", "are settled")),
            ("changes", Count(len(moved.changes), "value was changed", "values were changed")),
        )
        if count.value
    ]
    if not said:
        return Sentence("Nothing has moved since {day}.", values)
    values |= dict(said)
    words = [f"{{{name}}}" for name, _ in said]
    listed = " and ".join([", ".join(words[:-1]), words[-1]] if words[:-1] else words)
    return Sentence(f"Since {{day}}, {listed}.", values)


def waits(project: Project, findings: Iterable[Finding]) -> tuple[Block, ...]:
    """Who has to do what before the open findings can be settled; makers first, you last.

    Parameters
    ----------
    findings
        Those that need the producer and are not accepted.
    """
    counted: dict[str, Counter[tuple[str, str]]] = {}
    first: dict[tuple[str, tuple[str, str]], Finding] = {}
    for finding in findings:
        for (who, what), count in _asked_of(project, finding).items():
            counted.setdefault(who, Counter())[what] += count
            first.setdefault((who, what), finding)
    if not counted:
        return ()
    order = sorted(counted, key=lambda who: (who == YOU, who))
    rows = tuple(
        Row((Cell(who), _counted(count, what), _first(first[who, what])))
        for who in order
        for what, count in counted[who].items()
    )
    columns = (Column("Who"), Column("What is to be done"), Column("The first of them", wide=True))
    return (Table("Who has to act", columns, rows),)


def _counted(count: int, what: tuple[str, str]) -> Cell:
    return Cell(Count(count, *what))


def _first(finding: Finding) -> Cell:
    return Cell(finding.message, link=Link(finding.topic, anchor(finding), ""))


def _asked_of(project: Project, finding: Finding) -> Counter[tuple[str, tuple[str, str]]]:
    """Who a finding waits on, what is asked of them, and how many times."""
    if finding.topic == "money" and finding.rule == "quote-date":
        return _quotes(project, finding)
    if finding.topic == "money" and finding.rule == "price-known" and finding.missing:
        return _lacking(project, finding)
    return Counter([_one_asked(project, finding)])


def _one_asked(project: Project, finding: Finding) -> tuple[str, tuple[str, str]]:
    if finding.topic == "choices":
        return YOU, OF_YOU
    waits = finding.verdict is Verdict.UNCHECKED and bool(finding.missing)
    if waits and not any(place.startswith(QUOTED) for place in finding.missing):
        return YOU, TO_FILL_IN
    if (finding.topic, finding.rule) == ("likeness", "correction"):
        return YOU, OF_YOU if finding.verdict is Verdict.FAILS else LEFT_OPEN
    words = OF_A_MAKER.get(finding.rule) if finding.topic == "money" else None
    maker = _maker(project, finding) if words else ""
    if maker and words and not (waits and finding.rule == "minimum"):
        return maker, words
    return YOU, TO_FILL_IN if waits else OF_YOU


def _quotes(project: Project, finding: Finding) -> Counter[tuple[str, tuple[str, str]]]:
    """The quotes of a maker that ran out; or each maker's that have no last day."""
    if finding.subject.kind == "maker":
        return Counter({(finding.subject.id, OF_A_MAKER["quote-date"]): int(finding.weight)})
    ways = [project.ways.get(place.split("/")[1]) for place in finding.missing]
    makers = [way.maker if way and way.maker else YOU for way in ways]
    return Counter((maker, OF_A_MAKER["undated"]) for maker in makers)


def _lacking(project: Project, finding: Finding) -> Counter[tuple[str, tuple[str, str]]]:
    """What of a part's cost its maker has to state, and whether something waits for you."""
    maker = _maker(project, finding)
    columns = [place.rpartition("/")[2] for place in finding.missing if place.startswith(QUOTED)]
    asked = Counter((maker, STATED[column]) for column in columns if maker and column in STATED)
    if asked.total() < len(finding.missing):
        asked[YOU, TO_FILL_IN] += 1
    return asked


def _maker(project: Project, finding: Finding) -> str:
    """The maker of a finding's subject; empty where there is none."""
    subject = finding.subject
    if subject.kind == "maker":
        return subject.id
    part = project.parts.get(subject.id)
    chosen = project.ways.get(part.way) if part and part.way else None
    if chosen is None and subject.kind in {"tool", "way"}:
        chosen = next(
            (way for way in project.ways.values() if subject.id in {way.tool, way.id}), None
        )
    return chosen.maker if chosen else ""
