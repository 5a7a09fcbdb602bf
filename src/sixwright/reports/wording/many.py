"""What changing many rows at once came to, in sentences."""

from collections.abc import Iterator

from sixwright.kernel.sentences import Count, Name, Sentence
from sixwright.project.many import Many

ROUNDING = Sentence(
    "By a factor, whole numbers stay whole and others keep six places; a half goes up. What is "
    "not known stays so."
)


def told_many(many: Many) -> Iterator[Sentence]:
    """How many cells are tried, and what became of the other rows that were picked."""
    yield Sentence(
        "Tried, and not written: {cells} of the column {column}.",
        {"cells": Count(len(many.changes), "cell", "cells"), "column": Name(many.column)},
    )
    if many.rounded:
        count = Count(many.rounded, "was rounded", "were rounded")
        yield Sentence("{count}, a half up.", {"count": count})
    if many.same:
        yield Sentence("{count} it already.", {"count": Count(many.same, "says", "say")})
    if many.unknown:
        count = Count(many.unknown, "is not known and stays so", "are not known and stay so")
        yield Sentence("{count}.", {"count": count})
