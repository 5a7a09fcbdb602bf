"""What a text of a folder becomes where it leaves for another language: the one place for each.

Templates escape by themselves (`html.environment`); a print takes its texts as data, which are
never read as its language; no cell that is written is a formula (`kernel.spreadsheet_text`,
`export`).
"""

from html import escape

# Marks that mean nothing in a string of a style sheet; every other one is written by its number.
_PLAIN = frozenset(" .,:·-_()")
# Control characters and halves of pairs, which no HTML or SVG can hold, by what is shown instead.
_UNSHOWN = dict.fromkeys((*range(9), 11, 12, *range(14, 32), 127), "\N{REPLACEMENT CHARACTER}")


def markup(text: str) -> str:
    """A text as HTML or SVG shows it, between tags or in a quoted attribute."""
    return escape(text.translate(_UNSHOWN).encode("utf-8", "replace").decode())


def css_string(text: str) -> str:
    """A text as a string of a style sheet, with its quotes.

    Source
    ------
    CSS Syntax Module Level 3: a backslash, a hexadecimal number and a space stand for a character.
    """
    marks = (
        mark if mark.isalnum() or mark in _PLAIN else f"\\{ord(mark):x} "
        for mark in text.translate(_UNSHOWN)
    )
    return f'"{"".join(marks)}"'
