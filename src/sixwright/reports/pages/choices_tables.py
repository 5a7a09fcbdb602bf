"""The tables of “Which way should we go?”: alternatives side by side, and all combinations."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from sixwright.kernel.currency import Money
from sixwright.kernel.sentences import Count, Sentence, Value
from sixwright.project.choices import Choice
from sixwright.reports.document import Ask, Cell, Column, Deed, Form, Row, Table
from sixwright.reports.wording.words import MINUS, bare, joined, number
from sixwright.workflows.choices_model import Choices
from sixwright.workflows.choose_measures import BOX_MARGIN, Known, MeasureKind
from sixwright.workflows.choose_model import Chosen, Combination, Compared, Weighed
from sixwright.workflows.shown import shown_choice

# Shown for every choice, whether or not the ways differ in them.
ALWAYS = ("profit", "cash_asked", "break_even")
# Columns of all combinations: the rest of the measures is in the data and in each choice's table.
TOGETHER = ("profit", "cash_asked", "break_even", "tied_up", "verdicts/fails")
HEADS = {
    "profit": "Profit",
    "cash_asked": "Cash asked",
    "break_even": "Break-even",
    "tied_up": "Tied up",
    "verdicts/fails": "Fails",
}
MOST_BEATEN_BY = 3


def side_by_side(choosing: Choices, choice: Choice, ways: tuple[Weighed, ...]) -> Table:
    """A row a measure, a column an alternative, with the difference against the first."""
    columns = (Column("Measure", wide=True), *(Column(each.name, numeric=True) for each in ways))
    shown = [kind for kind in choosing.kinds if kind.id in ALWAYS or _differs(kind, ways)]
    rows = tuple(_row(choosing, kind, ways) for kind in shown)
    caption = [Sentence("Small figures: difference from the first option. Bold: better.")]
    same = len(choosing.kinds) - len(shown)
    if same:
        values: dict[str, Value] = {"same": Count(same, "other measure is", "other measures are")}
        caption.append(Sentence("{same} the same for all options, or not known.", values))
    name = " or ".join(each.name for each in choice.alternatives)
    return Table(f"{name}, side by side", columns, rows, tuple(caption), form=_taking(choice))


def _taking(choice: Choice) -> Form | None:
    """What is asked of who takes a way; None for what is only tried."""
    if not choice.id:
        return None
    asks = (
        Ask(
            "alternative",
            "The option to take",
            required=True,
            options=tuple((each.id, each.name) for each in choice.alternatives),
        ),
        Ask("reason", "Why", required=True),
        Ask("by", "Who takes it", required=True, by=True),
    )
    return Form(
        "Take this option",
        "take",
        asks,
        fixed=(("choice", choice.id), ("seen", shown_choice(choice))),
    )


def _differs(kind: MeasureKind, ways: tuple[Weighed, ...]) -> bool:
    values = {each.measures.get(kind.id) for each in ways if each.measures is not None}
    return len(values) > 1


def _row(choosing: Choices, kind: MeasureKind, ways: tuple[Weighed, ...]) -> Row:
    first = ways[0].measures or {}
    cells = [Cell(kind.label, detail=kind.unit)]
    for i, each in enumerate(ways):
        value = None if each.measures is None else each.measures.get(kind.id)
        cells.append(_cell(choosing, kind, value, first.get(kind.id) if i else None))
    return Row(tuple(cells))


def _cell(choosing: Choices, kind: MeasureKind, value: Known, first: Known) -> Cell:
    if value is None:
        return Cell(None)
    here = rounded(kind, value, choosing)
    if first is None:
        return Cell(words(kind, here, choosing))
    moved = here - rounded(kind, first, choosing)
    better = value > first if kind.better == "more" else value < first
    return Cell(
        words(kind, here, choosing),
        strong=bool(kind.better) and value != first and better,
        detail=signed(words(kind, moved, choosing)) if moved else "the same",
    )


def rounded(kind: MeasureKind, value: Fraction, choosing: Choices) -> Fraction:
    """A measure as it is shown, so that the differences shown are those of the values shown."""
    if kind.unit == choosing.project.currency and kind.id.startswith(BOX_MARGIN):
        return Money(value, kind.unit).rounded().amount
    return Fraction(ceil(value) if kind.unit == "boxes" else round(value))


def words(kind: MeasureKind, value: Fraction, choosing: Choices) -> str:
    """A rounded measure by the line's locale, without its unit."""
    project = choosing.project
    if kind.unit == project.currency and kind.id.startswith(BOX_MARGIN):
        return bare(Money(value, kind.unit), project.locale)
    return number(value, project.locale)


def signed(text: str) -> str:
    """A difference with its sign."""
    return text if text.startswith(MINUS) else f"+{text}"


def all_together(choosing: Choices, compared: Compared) -> Table:
    """A row a combination, the best profit first, and by which ones it is beaten."""
    kinds = {kind.id: kind for kind in compared.kinds}
    numbers = {_key(each.choose): i for i, each in enumerate(compared.combinations, 1)}
    columns = (
        Column("No.", numeric=True),
        *(Column(choice.question) for choice in compared.choices.values()),
        *(Column(HEADS[id_], numeric=True, unit=kinds[id_].unit) for id_ in TOGETHER),
        Column("Worse than", numeric=True, unit="no."),
    )
    rows = tuple(_together(choosing, compared, each, numbers) for each in compared.combinations)
    caption = (
        Sentence("One is worse than another that is no worse on anything and better on something."),
        Sentence("Bold: worse than none."),
    )
    return Table("All choices together", columns, rows, caption)


def _key(chosen: Chosen) -> tuple[tuple[str, str], ...]:
    return tuple(sorted(chosen.items()))


def _together(
    choosing: Choices,
    compared: Compared,
    each: Combination,
    numbers: Mapping[tuple[tuple[str, str], ...], int],
) -> Row:
    kinds = {kind.id: kind for kind in compared.kinds}
    firsts = {id_: choice.first.id for id_, choice in compared.choices.items()}
    stands = "as the folder stands" if dict(each.choose) == firsts else None
    free = not each.beaten_by
    cells = [Cell(Count(numbers[_key(each.choose)]), strong=free, detail=stands)]
    for id_, choice in compared.choices.items():
        alternative = choice.alternative(each.choose[id_])
        cells.append(Cell(alternative.name if alternative else each.choose[id_], strong=free))
    for id_ in TOGETHER:
        value = each.measures.get(id_)
        text = None if value is None else words(
            kinds[id_], rounded(kinds[id_], value, choosing), choosing
        )  # fmt: skip
        cells.append(Cell(text))
    cells.append(_beaten(each, numbers))
    return Row(tuple(cells))


def _beaten(each: Combination, numbers: Mapping[tuple[tuple[str, str], ...], int]) -> Cell:
    by = [str(numbers[_key(other)]) for other in each.beaten_by]
    if not by:
        return Cell(nothing=True)
    named = by[:MOST_BEATEN_BY]
    if len(by) > MOST_BEATEN_BY:
        named.append(f"{len(by) - MOST_BEATEN_BY} more")
    return Cell(joined(tuple(named)))


def _open_again(choice: Choice) -> Deed:
    label = f"Open again: {choice.question}"
    return Deed("Open again", label, "reopen", (("choice", choice.id),))


def taken_table(choosing: Choices) -> Table | None:
    """What was taken, when, by whom and why; None where nothing was."""
    rows = []
    for choice in choosing.project.choices.values():
        if (taken := choice.taken) is None:
            continue
        chosen = choice.alternative(taken.alternative)
        rows.append(
            Row(
                (
                    Cell(choice.question),
                    Cell(chosen.name if chosen else taken.alternative),
                    Cell(taken.date),
                    Cell(taken.by),
                    Cell(taken.reason),
                ),
                anchor=f"choice-{choice.id}",
                deeds=(_open_again(choice),),
            )
        )
    if not rows:
        return None
    columns = (Column("Question", wide=True), Column("Taken"), Column("On"), Column("By"),
               Column("Why", wide=True))  # fmt: skip
    return Table("What was decided", columns, tuple(rows))
