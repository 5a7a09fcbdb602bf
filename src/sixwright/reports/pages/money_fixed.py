"""The fixed costs and the cash that a line asks for, and each tool that is paid for."""

from collections.abc import Sequence
from fractions import Fraction

from sixwright.kernel.currency import minor_units, stated_parts
from sixwright.project.model import Project
from sixwright.reports.document import Cell, CellAddress, Column, Row, Table
from sixwright.reports.pages.money_parts import amount_cell, is_guessed, order_costs, sum_cell
from sixwright.topics.money.guesses import FIXED
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import PartMoney


def fixed_table(project: Project, sums: Sums) -> Table:
    """What is paid whatever is sold, and the cash that the line asks for."""
    terms = [[part.tooling for part in sums.parts.values()], [sums.development], order_costs(sums)]
    tooling, own, costs = _adding(project, terms)
    fixed, own_guess = [*tooling, *own], is_guessed(sums, "money.development")
    development = sum_cell(project, own, strong=False, guessed=own_guess)
    tool_guess, price_guess = is_guessed(sums, "tooling"), is_guessed(sums, "unit_price")
    any_guess = is_guessed(sums, *FIXED)
    place = CellAddress("line", "line", "money.development")
    rows = (
        Row((Cell("Tooling"), sum_cell(project, tooling, strong=False, guessed=tool_guess))),
        Row((Cell("Development"), Cell(development.value, place=place))),
        Row((Cell("Fixed costs"), sum_cell(project, fixed, guessed=any_guess)), kind="total"),
        Row(
            (
                Cell("Every part, as ordered"),
                sum_cell(project, costs, strong=False, guessed=price_guess),
            )
        ),
        Row(
            (
                Cell("Cash asked"),
                sum_cell(project, [*fixed, *costs], guessed=any_guess or price_guess),
            ),
            kind="total",
        ),
    )
    columns = (
        Column("Before a box is sold", wide=True),
        Column("Cost", numeric=True, unit=project.currency),
    )
    return Table("Fixed costs and cash", columns, rows)


def _adding(
    project: Project, terms: Sequence[Sequence[Fraction | None]]
) -> list[list[Fraction | None]]:
    """The same terms, each as the one amount that is stated of it, so that stated sums add up.

    What is unknown of a term stays beside what is known.
    """
    known = [[value for value in term if value is not None] for term in terms]
    totals = [sum(values, Fraction(0)) for values in known]
    shares = stated_parts(totals, places=minor_units(project.currency))
    return [
        [share, *(None for _ in range(len(term) - len(values)))]
        for share, term, values in zip(shares, terms, known, strict=True)
    ]


def tool_table(project: Project, sums: Sums) -> Table:
    """Each tool that is paid for, and the parts that it makes."""
    rows = [
        Row((Cell(name), Cell(parts), amount_cell(project, cost)))
        for name, parts, cost in _tools(project, sums)
    ]
    rows.append(
        Row((Cell("Tooling"), Cell(nothing=True), amount_cell(project, sums.tooling)), kind="total")
    )
    columns = (
        Column("Made by, and how"),
        Column("Makes", wide=True),
        Column("Cost", numeric=True, unit=project.currency),
    )
    return Table("Tool by tool", columns, tuple(rows))


def _tools(project: Project, sums: Sums) -> list[tuple[str, str, Fraction | None]]:
    """Each tool: its name, the parts that it makes, and what it costs."""
    made: dict[str, list[str]] = {}
    for part_id, money in sums.parts.items():
        if money.way is not None and money.tooling != 0:
            made.setdefault(money.tool or money.way, []).append(part_id)
    named = []
    for tool, parts in made.items():
        costs = [sums.parts[part].tooling for part in parts]
        known = [cost for cost in costs if cost is not None]
        names = ", ".join(project.parts[part].called for part in parts)
        total = sum(known, Fraction(0)) if len(known) == len(costs) else None
        named.append((_tool_name(project, tool, sums.parts[parts[0]]), names, total))
    return named


def _tool_name(project: Project, tool: str, money: PartMoney) -> str:
    way = project.ways.get(money.way or "")
    if way is None or way.tool == tool:
        return tool
    return " ".join(word for word in (way.maker, way.process) if word) or tool
