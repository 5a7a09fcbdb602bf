"""The home of an empty folder: bring in a spreadsheet, and see how it is read."""

from collections.abc import Iterator

from sixwright.importer.arrival import ArrivedSheet
from sixwright.importer.column_guess import ColumnGuess
from sixwright.importer.guess import Guess
from sixwright.importer.words import MEANINGS
from sixwright.kernel.currency import CURRENCIES
from sixwright.kernel.sentences import Count, Sentence
from sixwright.line.boxes import KINDS
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Fold,
    Paragraph,
)
from sixwright.reports.pages.errors import LOCALE
from sixwright.reports.reading import Drop, ReadAsk, ReadColumn, Reading

TOPIC = "bring"
TITLE = "Which boxes are in your spreadsheet?"
MOST_ROWS = 200
# A command tells its user what to type; a page has the control right there.
_TO_TYPE = "; say --"
_MONEY = {"price", "tooling"}
_CODES = tuple((code, code) for code in sorted(CURRENCIES))
_KINDS = tuple((kind, kind) for kind in KINDS)


def bring(arrival: ArrivedSheet | None, guess: Guess | None, held: str = "") -> Document:
    """The page of an empty folder, with the spreadsheet that was dropped on it, if any.

    Parameters
    ----------
    held
        What names that spreadsheet and all that was said of it.
    """
    if arrival is None or guess is None:
        told = Sentence(
            "This folder is empty. Bring in the spreadsheet of your line: one row a part, a column "
            "a box, prices where you have them."
        )
        return Document(TOPIC, TITLE, (Paragraph((told,)), Drop()), LOCALE)
    first = Sentence("{said}", {"said": _on_page(guess.says()[0])})
    doubts = tuple(guess.tables.doubts)
    rest = tuple(said for said in guess.remarks if said not in doubts)
    blocks: list[Block] = [Answer(None, (first,))]
    if doubts:
        one, many = "thing to look at", "things to look at"
        blocks.append(_said("{count} in the spreadsheet", (one, many), doubts, "doubts"))
    if rest:
        blocks.append(_said("{count} on how it was read", ("remark", "remarks"), rest, "remarks"))
    blocks.append(_reading(arrival, guess, held))
    return Document(TOPIC, TITLE, tuple(blocks), LOCALE)


def _said(summary: str, words: tuple[str, str], said: tuple[str, ...], anchor: str) -> Fold:
    """Sentences folded under how many they are."""
    told = tuple(Paragraph((Sentence("{said}", {"said": _on_page(text)}),)) for text in said)
    return Fold(Sentence(summary, {"count": Count(len(said), *words)}), told, anchor=anchor)


def _on_page(said: str) -> str:
    """A sentence of the command without what to type there."""
    return said.split(_TO_TYPE, maxsplit=1)[0].rstrip(".") + "."


def _reading(arrival: ArrivedSheet, guess: Guess, held: str) -> Reading:
    data = guess.data
    numbered = [] if data is None else list(enumerate(data.rows))[guess.header_row :]
    filled = [(number, row) for number, row in numbered if any(text.strip() for text in row)]
    columns = tuple(sorted(guess.columns, key=lambda column: column.at))
    open_ = tuple(_open(arrival, guess))
    return Reading(
        asks=(*open_, *_otherwise(arrival, guess)),
        columns=tuple(_column(column) for column in columns),
        meanings=tuple(MEANINGS.items()),
        currencies=tuple(sorted(CURRENCIES)),
        rows=tuple(
            (number + 1, guess.rows.get(number, ""), tuple(row[column.at] for column in columns))
            for number, row in filled[:MOST_ROWS]
        ),
        more=max(len(filled) - MOST_ROWS, 0),
        first=_first(guess, open_),
        held=held,
    )


def _column(guess: ColumnGuess) -> ReadColumn:
    why = guess.why.split(_TO_TYPE)[0]
    price = guess.meaning == "price"
    return ReadColumn(
        guess.name,
        guess.meaning,
        why,
        start=str(guess.start or "") if price else None,
        currency=guess.currency or "" if guess.meaning in _MONEY else None,
    )


def _open(arrival: ArrivedSheet, guess: Guess) -> Iterator[ReadAsk]:
    """What must be said before a line can be made."""
    words, silent = guess.unkinded
    if guess.currency is None:
        yield ReadAsk("currency", "", "You sell in", _CODES)
    if arrival.kind is None:
        for word in words:
            yield ReadAsk("word", word, f"Parts under “{word}” are of the kind", _KINDS)
        if silent:
            listed = ", ".join(f"“{name}”" for name in silent[:3])
            more = f" and {len(silent) - 3} more" if len(silent) > 3 else ""
            yield ReadAsk("kind", "", f"The kind of {listed}{more}", _KINDS)


def _otherwise(arrival: ArrivedSheet, guess: Guess) -> Iterator[ReadAsk]:
    """What is settled and can be said otherwise."""
    if guess.currency is not None:
        yield ReadAsk("currency", "", "You sell in", _CODES, guess.currency)
    if len(guess.sheets) > 1:
        names = tuple((name, name) for name in guess.sheets)
        yield ReadAsk("sheet", "", "The sheet", names, guess.sheet)
    if guess.conceals or arrival.hidden:
        options = (("no", "left out"), ("yes", "read too"))
        now = "yes" if arrival.hidden else "no"
        yield ReadAsk("hidden", "", "Hidden rows and columns are", options, now)
    for word, kind in arrival.kinds.items():
        yield ReadAsk("word", word, f"Parts under “{word}” are of the kind", _KINDS, kind)
    if arrival.kind is not None:
        yield ReadAsk("kind", "", "Parts of which nothing states a kind are", _KINDS, arrival.kind)


def _first(guess: Guess, open_: tuple[ReadAsk, ...]) -> Sentence | None:
    """What has to be said first; None where the line can be made now."""
    if not guess.problems:
        return None
    if open_:
        fields = "field" if len(open_) == 1 else f"{len(open_)} fields"
        says = "says" if len(open_) == 1 else "say"
        told = f"First fill in the {fields} above that {says} “say which”."
        return Sentence("{said}", {"said": told})
    if not any(column.meaning in {"name", "id"} for column in guess.columns):
        return Sentence(
            "First say which column names the parts: choose it above that column. Where the parts "
            "stand side by side in a row, turn rows into columns in your spreadsheet program."
        )
    return Sentence("{said}", {"said": _on_page(str(guess.problems[0]))})
