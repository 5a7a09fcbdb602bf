"""Changes of the folder in sentences: what was changed, from what, to what."""

from collections.abc import Sequence

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.project.columns import Cell
from sixwright.project.names import ONE, cell_name, column_of, row_name
from sixwright.project.records import Change, Records
from sixwright.reports.fields import named

# So many changes are told one by one; more are counted.
MOST = 6


def told(change: Change, before: Records, after: Records, *, tried: bool = False) -> Sentence:
    """One change as a sentence.

    Parameters
    ----------
    before, after
        The rows before and after it: a row is named by the state that has it.
    tried
        Whether nobody has written it.
    """
    one = ONE.get(change.table, change.table)
    if change.table == "accepted" and change.add is not None:
        said = {name: change.add.get(name, "") for name in ("by", "reason")}
        return Sentence("{by} accepted a finding: {reason}", {**said})
    if change.table == "accepted" and change.remove:
        return Sentence("An acceptance was taken back.")
    if change.remove:
        row: dict[str, Value] = {"row": Name(row_name(before, change.table, change.id))}
        return Sentence(f"The {one} {{row}} {'would go' if tried else 'was taken out'}.", row)
    if change.add is not None:
        row = {"row": Name(row_name(after, change.table, change.id))}
        return Sentence(f"The {one} {{row}} {'would come' if tried else 'was added'}.", row)
    if change.table == "choices":
        row = {"row": Name(change.id)}
        return Sentence("The choice {row} was changed.", row)
    values: dict[str, Value] = {
        "cell": Name(cell_name(after, change.table, change.id, change.column or "")),
        "was": _stated(change, change.was, before),
        "now": _stated(change, change.value, after),
    }
    verbs = "is {was} and would be {now}" if tried else "was {was} and is now {now}"
    return Sentence(f"{{cell}} {verbs}.", values)


def _stated(change: Change, text: str | None, records: Records) -> str:
    """What a cell says; an id as the name of what it stands for."""
    column = column_of(change.table, change.column or "")
    if not text or column is None or column.cell is Cell.WORDS:
        return text or "not known"
    table = next((name for name in column.refers if text in records.get(name, {})), None)
    return named(records, change.table, table, text) if table else text


def all_told(
    changes: Sequence[Change],
    before: Records,
    after: Records,
    *,
    most: int = MOST,
    tried: bool = False,
) -> tuple[Sentence, ...]:
    """Each change as a sentence; beyond `most`, how many more there are."""
    said = [told(change, before, after, tried=tried) for change in changes[:most]]
    rest = len(changes) - len(said)
    if rest > 0:
        more = Count(rest, "more change", "more changes")
        said.append(Sentence("And {more}.", {"more": more}))
    return tuple(said)
