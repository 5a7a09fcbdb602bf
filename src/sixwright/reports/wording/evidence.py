"""A finding's evidence in sentences, its anchor, and its short name in a table's row."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from math import isinf

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Accepted, Finding
from sixwright.kernel.ids import anchor as anchor_of
from sixwright.kernel.intervals import Interval, Limit, Real, Verdict, worst
from sixwright.kernel.sentences import Count, Measure, Names, Sentence, Share, Value
from sixwright.kernel.units import Sort, Unit
from sixwright.project.names import label_of
from sixwright.project.tables import BY_NAME, TableSchema
from sixwright.reports.document import Item, Link

LIMITS = {
    "<=": "at most {limit}",
    "<": "less than {limit}",
    ">=": "at least {limit}",
    ">": "more than {limit}",
    "==": "exactly {limit}",
}
NONE = frozenset({"==", "<="})
# So many rows that lack one thing are named; how many more there are is said.
MOST_MISSING = 4


def item(finding: Finding, links: tuple[Link, ...] = (), *, beside_method: bool = False) -> Item:
    """A finding ready for a list: with its evidence, its anchor and its links.

    `beside_method` says that the same page tells the method of the finding's topic.
    """
    method = f"{finding.topic}-{finding.judged_by.link}" if beside_method else ""
    rests_on = Link(finding.topic, method, f"Rests on: {finding.source.title.rstrip('.')}.")
    return Item(finding, evidence(finding), anchor(finding), rests_on, (*links, *_rates(finding)))


def rate_link(currency: str) -> Link:
    """Where a rate of exchange that has no row yet is filled in."""
    return Link(f"tables/rates?currency={currency}", "add", f"Fill in the rate of {currency}")


def _rates(finding: Finding) -> tuple[Link, ...]:
    """Ways to the rates that a finding lacks."""
    lacks = [place.split("/") for place in finding.missing if place.startswith("rates/")]
    return tuple(rate_link(currency) for _, currency, *_ in lacks)


def anchor(finding: Finding) -> str:
    """Where the finding stands in its topic's page; unique in a report of all topics."""
    subject = finding.subject
    return anchor_of(f"{finding.topic}/{finding.rule}/{subject.kind}/{subject.id}")


def evidence(finding: Finding) -> tuple[Sentence, ...]:
    """What was measured, what it must be, what is missing, why it is doubted, who accepted it."""
    said: list[Sentence] = []
    if finding.measured is not None:
        what = finding.judged_by.measures
        said.append(_measured(what, finding.measured, finding.unit))
    if finding.limit is not None:
        said += _limit(finding.limit, finding.unit, is_measured=finding.measured is not None)
    said += _missing(finding.missing)
    if finding.doubt is not None:
        values: dict[str, Value] = {"verdict": str(finding.verdict), "why": finding.doubt.words}
        said.append(Sentence("The verdict is {verdict}, because {why}.", values))
    if finding.accepted is not None:
        said.append(_accepted(finding.accepted))
    return tuple(said)


def amount(value: Real, unit: Unit) -> Value:
    """A bare value of a finding with its unit: money, a share, a count or a measure."""
    exact = Fraction(str(value)) if isinstance(value, float) else Fraction(value)
    match unit.sort:
        case Sort.MONEY:
            return Money(exact, unit.name)
        case Sort.SHARE:
            return Share(exact)
        case Sort.THINGS if exact.denominator == 1:
            return Count(int(exact), unit.one, unit.name)
        case _ if exact.denominator == 1:
            return Measure(exact, unit.name, 0)
    return Measure(exact, unit.name, 2)


def _measured(what: str, measured: Interval, unit: Unit) -> Sentence:
    values: dict[str, Value] = {"what": what, "value": amount(measured.value, unit)}
    if measured.low == measured.high:
        return Sentence("{what}: {value}.", values)
    if isinf(measured.low):
        return Sentence("{what}: at most {value}.", values)
    values["low"] = amount(measured.low, unit)
    if isinf(measured.high):
        return Sentence("{what}: {value}; it may be {low} or any more.", values)
    values |= {
        "high": amount(measured.high, unit),
        "level": Share(measured.level, 0),
    }
    return Sentence("{what}: {value}, with {level} certainty from {low} to {high}.", values)


def _limit(limit: Limit, unit: Unit, *, is_measured: bool) -> Iterator[Sentence]:
    """What the measured value must be; a limit of nothing in words of its own."""
    if limit.value != 0:
        yield Sentence(f"Wanted: {LIMITS[limit.op]}.", {"limit": amount(limit.value, unit)})
    elif unit.sort is Sort.MONEY:
        if limit.op in {">=", ">"}:
            yield Sentence("Wanted: no loss.")
    elif limit.op not in NONE:
        yield Sentence(f"Wanted: {LIMITS[limit.op]}.", {"limit": amount(limit.value, unit)})
    elif is_measured:
        yield Sentence("There should be none.")


def _missing(places: Sequence[str]) -> Iterator[Sentence]:
    """The missing inputs, each ``table/id/column``: what, of which rows, in which file."""
    found: dict[tuple[str, str], list[str]] = {}
    keys: list[str] = []
    for place in places:
        table_name, _, rest = place.partition("/")
        id_, _, column_name = rest.rpartition("/")
        if table_name == "line":
            keys.append(_label(BY_NAME["line"], column_name))
        else:
            found.setdefault((table_name, column_name), []).append(id_)
    for (table_name, column_name), ids in found.items():
        table = BY_NAME.get(table_name)
        if table is None:
            lost = Names(tuple(f"{table_name}/{id_}/{column_name}" for id_ in ids))
            yield Sentence("Missing: {places}.", {"places": lost})
            continue
        what = "rate" if table_name == "rates" else _label(table, column_name)
        values: dict[str, Value] = {"what": what, "file": table.file}
        rows = [id_ for id_ in ids if id_]
        if rows:
            values["ids"] = Names(_first_of(rows))
        of = " of {ids}" if rows else ""
        yield Sentence(f"Missing: {{what}}{of}, in {{file}}.", values)
    if keys:
        values = {"what": Names(tuple(keys)), "file": BY_NAME["line"].file}
        yield Sentence("Missing: {what}, in {file}.", values)


def _label(table: TableSchema, column_name: str) -> str:
    """What a column is called within a sentence."""
    column = next((each for each in table.columns if each.name == column_name), None)
    label = label_of({}, column) if column else column_name
    return label[:1].lower() + label[1:]


def _first_of(ids: Sequence[str]) -> tuple[str, ...]:
    """The first few, and how many more there are."""
    if len(ids) <= MOST_MISSING:
        return tuple(ids)
    return (*ids[: MOST_MISSING - 1], f"{len(ids) - MOST_MISSING + 1} more")


def _accepted(accepted: Accepted) -> Sentence:
    try:
        when: Value = date.fromisoformat(accepted.date)
    except ValueError:
        when = accepted.date
    return Sentence(
        "Accepted by {by} on {when}: {reason}.",
        {"by": accepted.by, "when": when, "reason": accepted.reason.rstrip(".")},
    )


def open_findings(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Those that need the producer: not what holds; what was accepted comes last."""
    open_ = [finding for finding in findings if finding.verdict is not Verdict.HOLDS]
    return tuple(sorted(open_, key=lambda finding: finding.accepted is not None))


def verdict_of_box(findings: Iterable[Finding], sells: str) -> Verdict:
    """The worst verdict on an edition or set itself; `unchecked` where none was given."""
    return worst(
        [
            finding.verdict
            for finding in findings
            if finding.subject.kind == "sells" and finding.subject.id.partition("/")[0] == sells
        ]
    )
