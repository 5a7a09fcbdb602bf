"""Text for spreadsheets: what would start a formula there gets an apostrophe."""

import re

# A spreadsheet takes a cell that begins so for a formula, whoever wrote it.
_FORMULA = re.compile(r"[=+\-@\t\r]")
_PLAIN_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?")


def safe_text(text: str) -> str:
    """A text that a spreadsheet does not run: what would start a formula gets an apostrophe."""
    runs = _FORMULA.match(text) and not _PLAIN_NUMBER.fullmatch(text)
    return f"'{text}" if runs else text
