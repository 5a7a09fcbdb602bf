"""Which comments speak of which subject, by the line's own words."""

import re
from collections.abc import Iterable, Mapping, Sequence

from sixwright.line.voices import CommentSubject
from sixwright.topics.voices.comments import fold

ENDING = "*"


def spoken_of(
    texts: Sequence[str], subjects: Mapping[str, CommentSubject]
) -> dict[str, tuple[int, ...]]:
    """Subject: which of the texts have one of its words.

    A subject without words is spoken of by nobody.

    Parameters
    ----------
    texts
        Folded.
    subjects
        By id.

    Source
    ------
    Definition: docs/topics/voices.md, “Subjects”.
    """
    found = {}
    for subject, known in subjects.items():
        pattern = pattern_of(known.words)
        found[subject] = () if pattern is None else tuple(
            i for i, text in enumerate(texts) if pattern.search(text)
        )  # fmt: skip
    return found


def pattern_of(words: Iterable[str]) -> re.Pattern[str] | None:
    """What finds any of these words in a folded text; None where there are none.

    Signs that mean something to a pattern are folded away.

    Parameters
    ----------
    words
        As the producer wrote them: whole words, stems that end in ``*``, or several words that
        must stand together.

    Source
    ------
    Definition: docs/topics/voices.md, “Subjects”.
    """
    told = [said for word in words if (said := _said(word))]
    if not told:
        return None
    return re.compile(r"(?<!\S)(?:" + "|".join(told) + r")(?!\S)")


def _said(word: str) -> str:
    """One entry: its words in order, each to its end or, with a star, with any ending."""
    pieces = []
    for piece in word.split():
        stem = piece.endswith(ENDING)
        folded = fold(piece.rstrip(ENDING)).split()
        if folded:
            last = re.escape(folded[-1]) + (r"\S*" if stem else "")
            pieces += [*(re.escape(inner) for inner in folded[:-1]), last]
    return " ".join(pieces)
