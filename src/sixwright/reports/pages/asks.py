"""What was asked of a sculptor, how it was answered, and what became of it."""

from sixwright.kernel.sentences import Measure, Sentence
from sixwright.reports.document import Cell, CellAddress, Column, Deed, Link, Paragraph, Row, Table
from sixwright.reports.pages.sculpt import named
from sixwright.topics.likeness.ask_answers import AskAnswer
from sixwright.topics.likeness.model import RoundAnswer
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.reviewed import Review

NO = Cell(nothing=True)


def to_sculptor(one: RoundAnswer) -> Paragraph:
    """The way from a head to the page of what is asked about it."""
    link = Link(f"sculptor/{one.round}", "", "Choose what to ask the sculptor")
    return Paragraph((Sentence("What is found becomes one page for the sculptor."),), (link,))


def asked_table(review: Review, sculpt: str, *, only: str = "") -> Table | None:
    """What was asked about a sculpt, how it was answered and what became of it; None if nothing.

    Parameters
    ----------
    review
        What was judged.
    sculpt
        Its id.
    only
        Id of the one round whose asks are wanted; empty for all.
    """
    asks = [
        ask
        for ask in review.project.sculpt_asks.values()
        if (review.project.rounds[ask.round].sculpt == sculpt) and only in {"", ask.round}
    ]
    if not asks:
        return None
    answered = {each.ask: each for each in review.of(LIKENESS).asks}
    columns = (
        Column("Ask"),
        Column("Words", wide=True),
        Column("State"),
        Column("Answer"),
        Column("Cost", numeric=True),
        Column("Asked", numeric=True, unit="mm"),
        Column("Went", numeric=True, unit="mm"),
        Column("95 %", numeric=True, unit="mm"),
        Column("So it was"),
    )
    rows = []
    for ask in asks:
        cells = review.project.records["asks"][ask.id].cells
        deed = Deed("Take out", f"Take out {ask.id}", "take-out",
                    (("table", "asks"), ("id", ask.id)))  # fmt: skip
        rows.append(Row((
            Cell(ask.id),
            Cell(ask.words or None, place=CellAddress("asks", ask.id, "words")),
            Cell(ask.state, place=CellAddress("asks", ask.id, "state")),
            Cell(cells.get("answer") or None, place=CellAddress("asks", ask.id, "answer")),
            Cell(cells.get("cost") or None, place=CellAddress("asks", ask.id, "cost")),
            *_outcome(answered.get(ask.id)),
        ), deeds=(deed,)))  # fmt: skip
    name = f"Asked about {named(review.project.rounds[only]) if only else sculpt}"
    return Table(name, columns, tuple(rows))


NOT_YET = {
    "next": "no later round yet",
    "words": "direction not read",
    "landmarks": "not marked on the later round",
}


def _outcome(each: AskAnswer | None) -> tuple[Cell, ...]:
    from sixwright.kernel.intervals import Limit, judge
    from sixwright.topics.likeness.checks_asks import manner

    if each is None:
        return (NO, NO, NO, NO)
    asked = Cell(Measure(each.asked_mm, "", 2)) if each.asked_mm else NO
    if each.moved_mm is None or each.off_mm is None:
        return (asked, NO, NO, Cell(NOT_YET.get(each.reason, each.reason)))
    ends = {"low": Measure(each.moved_mm.low, "", 2), "high": Measure(each.moved_mm.high, "", 2)}
    verdict = judge(each.off_mm, Limit("<=", each.tolerance_mm))
    return (
        asked,
        Cell(Measure(each.moved_mm.value, "", 2)),
        Cell(Sentence("{low} to {high}", ends)),
        Cell(manner(each), verdict=verdict),
    )
