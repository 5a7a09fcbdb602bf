"""Which lines of a box's bill rest on a guess, so that each is marked wherever it is shown."""

from collections.abc import Iterable

_AFTER = ("margin_after_fixed_share", "least_price")
_LANDED = ("landed", "margin", "margin_share", *_AFTER)
_WORKS = ("overhead", "unit_cost", "duty", *_LANDED)
# By the column of the guess, or by its key: the lines that it moves.
_MOVED = {
    "unit_price": ("parts", *_WORKS),
    "tooling": ("fixed_share", *_AFTER),
    "money.development": ("fixed_share", *_AFTER),
    "money.labour.rate": ("labour", *_WORKS),
    "money.fees.each": ("fees", *_LANDED),
    "money.freight.per_m3": ("freight", *_LANDED),
    "money.freight.each": ("freight", *_LANDED),
}
FIXED = frozenset({"tooling", "money.development"})


def guessed_lines(box: Iterable[str], line: Iterable[str]) -> frozenset[str]:
    """The lines of a box's bill that rest on a guess, by the names of `model.BoxMoney`.

    Parameters
    ----------
    box, line
        The cells that the box, and the whole line, rest on and that are guesses.

    Source
    ------
    docs/topics/money.md, “A box”: what each line is made of.
    """
    columns = [name.rpartition("/")[2] for name in box]
    shared = [name.rpartition("/")[2] for name in line]
    moved = {name for column in columns if column not in FIXED for name in _MOVED[column]}
    return frozenset(moved | {n for column in shared if column in FIXED for n in _MOVED[column]})
