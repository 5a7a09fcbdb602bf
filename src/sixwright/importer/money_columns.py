"""In which currency a column of money is, and a single cell of it."""

import re
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import replace

from sixwright.importer.column_guess import ColumnGuess
from sixwright.importer.numbers import currency_in, currency_of_format, mark_in
from sixwright.kernel.currency import SEVERAL
from sixwright.storage.workbooks.sheet import Sheet

MONEY = frozenset({"price", "tooling"})
# Of the makers that this trade buys from, those who write ¥ mean yuan far more often than yen
# (common practice, no source); it is said wherever it is read so.
USUAL = {"¥": "CNY"}


def resolved(mark: str, known: Collection[str]) -> str | None:
    """The currency that a mark of several stands for; None where that must be asked.

    Parameters
    ----------
    mark
        ``$`` or ``¥``.
    known
        Currencies that the sheet states elsewhere, or the producer.
    """
    among = SEVERAL[mark] & set(known)
    return next(iter(among)) if len(among) == 1 else None if among else USUAL.get(mark)


def stated_in_cell(text: str, number_format: str) -> tuple[str | None, str]:
    """The currency that a cell of money states itself, or its mark that stands for several."""
    code = currency_in(text) or currency_of_format(number_format)
    shown = re.sub(r"\[\$-[^]]*\]", "", number_format)  # [$-409] only names a place
    return code, "" if code else mark_in(f"{text} {shown}")


def with_currency(
    guess: ColumnGuess,
    cells: Sequence[tuple[int, str]],
    sheet: Sheet,
    *,
    title: str | None,
    known: Collection[str],
) -> ColumnGuess:
    """A column of money with the currency that its name, its cells or a title states.

    What a few cells alone state is a matter of those cells, not of the column.

    Parameters
    ----------
    cells
        Row and text of each cell that holds anything.
    title
        The currency that a title of the sheet states, for money that states none.
    known
        Currencies that the sheet states anywhere, and the producer's.
    """
    if guess.meaning not in MONEY or guess.currency:
        return guess
    named, mark = currency_in(guess.name), mark_in(guess.name)
    if named is None and not mark:
        named, mark = _of_most(cells, guess.at, sheet)
    if named is None and mark:
        named = resolved(mark, known)
        return replace(guess, currency=named, mark=mark)
    own = [stated_in_cell(text, sheet.formats.get((row, guess.at), ""))[0] for row, text in cells]
    if named is None and not any(own):
        named = title
    return replace(guess, currency=named)


def _of_most(cells: Sequence[tuple[int, str]], at: int, sheet: Sheet) -> tuple[str | None, str]:
    """The currency, or the mark, that at least four of five cells state."""
    stated = Counter(stated_in_cell(text, sheet.formats.get((row, at), "")) for row, text in cells)
    most, count = stated.most_common(1)[0] if stated else ((None, ""), 0)
    return most if count * 5 >= len(cells) * 4 else (None, "")
