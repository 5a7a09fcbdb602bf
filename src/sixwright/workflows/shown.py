"""What a page showed of that which is decided on it, in one word.

A decision says this word again: who accepts a finding, settles it by its button or takes an option
decides on what was seen, and on nothing that came in its place.
"""

from hashlib import sha256

from sixwright.kernel.errors import InputError
from sixwright.kernel.findings import Finding
from sixwright.project.choices import Choice

MOVED = "That has moved since this page showed it; look at it again. Nothing was written."
LETTERS = 16


def shown_finding(finding: Finding) -> str:
    """Of a finding: its verdict with its evidence, and the change that its button writes."""
    return _word(str(finding.verdict), finding.seen, finding.fix)


def shown_choice(choice: Choice) -> str:
    """Of a choice: its question, its options and what each of them changes."""
    return _word(choice.question, choice.alternatives, choice.taken)


def check_shown(now: str, seen: str) -> None:
    """Refuse a decision on what is another by now.

    Raises
    ------
    InputError
        If the word is another.
    """
    if now != seen:
        raise InputError(MOVED)


def _word(*what: object) -> str:
    return sha256(repr(what).encode("utf-8", "replace")).hexdigest()[:LETTERS]
