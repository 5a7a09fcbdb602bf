"""What each part costs and ties up, and its rival ways side by side."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from sixwright.kernel.currency import Money, minor_units, stated_parts
from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict, worst
from sixwright.kernel.sentences import Count, Measure, Names, Sentence, Value
from sixwright.line.boxes import Part
from sixwright.line.making import Way
from sixwright.project.model import Project
from sixwright.reports.document import Cell, CellAddress, Column, Link, Remark, Row, Table
from sixwright.reports.pages.rows import row_anchor
from sixwright.reports.wording.evidence import anchor, open_findings, rate_link
from sixwright.reports.wording.words import MINUS, bare
from sixwright.topics.money.checks_quotes import rates_alone
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import PartMoney
from sixwright.topics.money.rivals_model import Rivalry, RivalWay

# What a finding about a part or its quote says in the part's row.
IN_ROW = {
    "minimum": "its minimum ties up money",
    "quote-date": "its quote has run out",
    "price-known": "its price or its tooling is a guess",
}
# The same where it cannot be judged.
IN_ROW_OPEN = {
    "minimum": "what its minimum ties up is not known",
    "quote-date": "its quote names no last day",
    "price-known": "what it costs is not known",
}


def part_table(project: Project, sums: Sums, findings: tuple[Finding, ...]) -> Table:
    """One row a part: what is needed, what is bought, at what price, and what lies idle."""
    columns = (
        Column("Part"),
        Column("Maker", wide=True),
        Column("Needed", numeric=True),
        Column("To buy", numeric=True, unit="with spares"),
        Column("Ordered", numeric=True),
        Column("A piece", numeric=True, unit=project.currency),
        Column("Order", numeric=True, unit=project.currency),
        Column("Tooling", numeric=True, unit=project.currency),
        Column("Tied up", numeric=True, unit=project.currency),
    )
    remarks = _by_part(project, sums, open_findings(findings))
    quotes = {table: _first_rows(project, table) for table in ("prices", "ways")}
    stated = _stated(project, sums)
    rows = [
        _part_row(project, (part, stated[part]), remarks.get(part, ()), quotes)
        for part in sums.parts
    ]
    rows.append(_sum_row(project, sums))
    caption = (
        *_tied_up(project, sums),
        Sentence("Tied up is what is bought beyond need and spares, at its price."),
        Sentence("Parts of one tool share its tooling equally and pool their quantities."),
        *((Sentence("What rests on a guess is marked ~."),) if sums.guesses else ()),
    )
    return Table("What each part costs", columns, tuple(rows), caption, frozen=True)


def _first_rows(project: Project, table: str) -> Mapping[str, str]:
    """Way to the anchor of its first row in a table."""
    found: dict[str, str] = {}
    for id_ in project.records.get(table, {}):
        found.setdefault(id_.split("/")[0], row_anchor(id_))
    return found


def _by_part(
    project: Project, sums: Sums, findings: Sequence[Finding]
) -> Mapping[str, tuple[Remark, ...]]:
    """Part to what the findings that need the producer say in its row."""
    parts: dict[tuple[str, str], list[str]] = {}
    for id_, money in sums.parts.items():
        way = project.ways.get(money.way or "")
        parts.setdefault(("part", id_), []).append(id_)
        parts.setdefault(("tool", money.tool or ""), []).append(id_)
        parts.setdefault(("undated", f"ways/{money.way}/valid_until"), []).append(id_)
        if way is not None and way.id in sums.expired:
            parts.setdefault(("maker", way.maker), []).append(id_)
    remarks: dict[str, list[Remark]] = {}
    for finding in findings:
        if finding.rule not in IN_ROW:
            continue
        link = Link("money", anchor(finding), "")
        words = IN_ROW_OPEN if finding.verdict is Verdict.UNCHECKED else IN_ROW
        said = Sentence(words[finding.rule])
        rates = rates_alone(finding.missing) if finding.rule == "price-known" else ()
        if rates and finding.missing:
            said = Sentence("the rate of {rates} is missing", {"rates": Names(rates)})
            link = rate_link(rates[0])
        remark = Remark(finding.verdict, said, link)
        subject = finding.subject
        keys = [(subject.kind, subject.id)]
        if subject.kind == "line":
            keys = [("undated", missing) for missing in finding.missing]
        for id_ in dict.fromkeys(id_ for key in keys for id_ in parts.get(key, ())):
            remarks.setdefault(id_, []).append(remark)
    return {id_: tuple(said) for id_, said in remarks.items()}


def _stated(project: Project, sums: Sums) -> Mapping[str, PartMoney]:
    """Each part with the amounts that its row states: a column adds up to its total, stated."""
    parts = dict(sums.parts)
    for name in ("cost", "tooling", "surplus_cost"):
        known = {id_: value for id_, money in parts.items()
                 if (value := getattr(money, name)) is not None}  # fmt: skip
        if known:
            shares = stated_parts(list(known.values()), places=minor_units(project.currency))
            for id_, share in zip(known, shares, strict=True):
                parts[id_] = _with(parts[id_], name, share)
    return parts


def _with(money: PartMoney, name: str, amount: Fraction) -> PartMoney:
    changed: dict[str, Any] = {name: amount}
    return replace(money, **changed)


def _part_row(
    project: Project,
    stated: tuple[str, PartMoney],
    remarks: tuple[Remark, ...],
    quotes: Mapping[str, Mapping[str, str]],
) -> Row:
    part_id, money = stated
    part = project.parts[part_id]
    way = project.ways.get(money.way or "")
    cells = (
        Cell(part.called, remarks=remarks, place=CellAddress("parts", part.id, "name")),
        _maker(part, way),
        _count(money.need),
        _count(money.buy),
        _count(money.order),
        _marked(_quoted(project, money, "prices", quotes["prices"]), money, "unit_price"),
        _marked(amount_cell(project, money.cost), money, "unit_price"),
        _marked(_quoted(project, money, "ways", quotes["ways"]), money, "tooling"),
        _marked(amount_cell(project, money.surplus_cost), money, "unit_price"),
    )
    verdict = worst([remark.verdict for remark in remarks]) if remarks else None
    return Row(cells, verdict=verdict, anchor=f"cost-{part_id}")


def _maker(part: Part, way: Way | None) -> Cell:
    """Who makes it, and how; without a way yet, the cell in which one is chosen."""
    if way is None:
        return Cell(None, place=CellAddress("parts", part.id, "way"))
    place = CellAddress("ways", way.id, "maker")
    how = CellAddress("ways", way.id, "process")
    return Cell(way.maker or None, detail=way.process or None, place=place, detail_place=how)


def _quoted(project: Project, money: PartMoney, table: str, anchors: Mapping[str, str]) -> Cell:
    """A price or a tooling in the line's currency; it leads to the quote in the maker's own."""
    amount = money.unit_price if table == "prices" else money.tooling
    digits = _price_digits(amount) if table == "prices" else None
    cell = amount_cell(project, amount, digits=digits)
    at = anchors.get(money.way or "")
    return cell if at is None else replace(cell, link=Link(f"tables/{table}", at, ""))


def _marked(cell: Cell, money: PartMoney | RivalWay, column: str) -> Cell:
    """The cell, with ~ before an amount that rests on a guess."""
    guessed = any(name.endswith(f"/{column}") for name in money.guesses)
    if not guessed or not isinstance(cell.value, str) or cell.nothing:
        return cell
    return replace(cell, value=f"~{cell.value}")


def _price_digits(price: Fraction | None) -> int | None:
    """Four digits for pieces of less than a unit: a peg at 0.0389 is not 0.04."""
    return 4 if price is not None and 0 < price < 1 else None


def _count(count: int | None) -> Cell:
    return Cell(count, nothing=count == 0)


def amount_cell(
    project: Project, value: Fraction | None, *, digits: int | None = None, strong: bool = False
) -> Cell:
    """An amount in the line's currency, without its code; unknown where it is."""
    if value is None:
        return Cell(None)
    words = bare(Money(value, project.currency), project.locale, digits=digits)
    return Cell(words, nothing=value == 0, strong=strong)


def _sum_row(project: Project, sums: Sums) -> Row:
    parts = sums.parts.values()
    return Row(
        (
            Cell("All parts"),
            *(Cell(nothing=True) for _ in range(5)),
            sum_cell(project, order_costs(sums), guessed=is_guessed(sums, "unit_price")),
            sum_cell(
                project, [part.tooling for part in parts], guessed=is_guessed(sums, "tooling")
            ),
            sum_cell(
                project,
                [part.surplus_cost for part in parts],
                guessed=is_guessed(sums, "unit_price"),
            ),
        ),
        kind="total",
    )


def is_guessed(sums: Sums, *columns: str) -> bool:
    """Whether something of one of these columns that counts is a guess."""
    return any(name.rpartition("/")[2] in columns for name in sums.guesses)


def sum_cell(
    project: Project,
    values: Sequence[Fraction | None],
    *,
    strong: bool = True,
    guessed: bool = False,
) -> Cell:
    """A total; while a term is missing, the least that it comes to; ~ where a guess is in it."""
    known = [value for value in values if value is not None]
    total = sum(known, Fraction(0))
    if len(known) < len(values) and not total:
        return Cell(None)
    cell = amount_cell(project, total, strong=strong)
    if cell.nothing or not isinstance(cell.value, str):
        return cell
    value = f"~{cell.value}" if guessed else cell.value
    if len(known) < len(values):
        return replace(cell, value=Sentence("at least {value}", {"value": value}))
    return replace(cell, value=value)


def order_costs(sums: Sums) -> list[Fraction | None]:
    """What each part costs as it is ordered; None while unknown."""
    return [part.cost for part in sums.parts.values()]


def rival_tables(project: Project, rivalries: Sequence[Rivalry]) -> tuple[Table, ...]:
    """For each part that could be made another way: the ways side by side."""
    return tuple(_rival_table(project, rivalry) for rivalry in rivalries)


def _rival_table(project: Project, rivalry: Rivalry) -> Table:
    names = [project.parts[part].called for part in rivalry.parts]
    shown = names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"
    columns = (
        Column("Quote", wide=True),
        Column("A piece used", numeric=True, unit=project.currency),
        Column("Order", numeric=True, unit=project.currency),
        Column("Tooling", numeric=True, unit=project.currency),
        Column("Minimum", numeric=True),
        Column("Tied up", numeric=True, unit=project.currency),
        Column("Minutes", numeric=True),
        Column("Margin of a box", numeric=True, unit=project.currency),
        Column("Profit", numeric=True, unit=project.currency),
    )
    rows = tuple(_option_row(project, option) for option in rivalry.options)
    caption = (Sentence("Margin and profit are differences from the quote that is chosen now."),)
    return Table(f"{shown}: its quotes side by side", columns, rows, caption)


def _option_row(project: Project, option: RivalWay) -> Row:
    minutes: Value | None = None
    if option.minutes is not None:
        minutes = Measure(option.minutes, "", int(option.minutes.denominator > 1))
    return Row(
        (
            Cell(option.name, detail="chosen now" if option.chosen else None),
            _marked(
                amount_cell(project, option.unit_cost, digits=_price_digits(option.unit_cost)),
                option,
                "unit_price",
            ),
            _marked(amount_cell(project, option.cost), option, "unit_price"),
            _marked(amount_cell(project, option.tooling), option, "tooling"),
            _minimum(option),
            _marked(amount_cell(project, option.surplus_cost), option, "unit_price"),
            Cell(minutes),
            _margins(project, option),
            Cell(nothing=True) if option.chosen else _signed(project, option.profit_change),
        ),
    )


def _minimum(option: RivalWay) -> Cell:
    """The least the maker sells: a value of the folder where the option is one way alone."""
    place = CellAddress("ways", option.ways[0], "minimum") if len(option.ways) == 1 else None
    return Cell(option.minimum, nothing=option.minimum == 0, place=place)


def _margins(project: Project, option: RivalWay) -> Cell:
    """How far the boxes' margins move: one number, or from the least to the most."""
    if option.chosen:
        return Cell(nothing=True)
    moved = _moved(option.margin_changes)
    if moved is None:
        return Cell(None)
    if not moved:
        return Cell(nothing=True)
    low, high = min(moved), max(moved)
    if low == high:
        return _signed(project, low)
    words = f"{signed(project, low)} to {signed(project, high)}"
    return Cell(words)


def _moved(changes: Mapping[str, Fraction | None]) -> list[Fraction] | None:
    known = [change for change in changes.values() if change is not None]
    return [change for change in known if change] if len(known) == len(changes) else None


def _signed(project: Project, change: Fraction | None) -> Cell:
    return Cell(None) if change is None else Cell(signed(project, change), nothing=change == 0)


def signed(project: Project, change: Fraction) -> str:
    """A difference with its sign, rounded to the minor unit."""
    words = bare(Money(change, project.currency), project.locale)
    return words if words.startswith(MINUS) else f"+{words}"


def _tied_up(project: Project, sums: Sums) -> tuple[Sentence, ...]:
    """The money that lies in surplus pieces in all, as a sentence."""
    costs = [part.surplus_cost for part in sums.parts.values()]
    known = [cost for cost in costs if cost is not None]
    if not known or len(known) < len(costs):
        return ()
    values: dict[str, Value] = {
        "tied": Money(sum(known, Fraction(0)), project.currency),
        "parts": Count(sum(cost > 0 for cost in known), "part", "parts"),
    }
    return (Sentence("{tied} lies in surplus pieces of {parts}.", values),)
