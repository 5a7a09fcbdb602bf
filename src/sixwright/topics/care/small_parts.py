"""Whether a part fits the small-parts cylinder, as far as its three lengths tell."""

from collections.abc import Sequence
from enum import StrEnum
from fractions import Fraction
from itertools import permutations
from math import hypot

INCH_MM = 25.4
# 16 CFR 1501.4: the inside of the gauge; its bottom slopes from the lesser depth to the greater.
# The rule itself was read; these three numbers are from memory, and inches decide.
DIAMETER_MM, SHALLOW_MM, DEEP_MM = 1.25 * INCH_MM, 1.00 * INCH_MM, 2.25 * INCH_MM
# No two points inside are further apart.
LONGEST_MM = hypot(DIAMETER_MM, DEEP_MM)


class GaugeFit(StrEnum):
    """What three lengths say about the gauge."""

    FITS = "fits"
    TOO_LONG = "too long"
    OPEN = "only the gauge can tell"
    UNKNOWN = "its size is not known"


def fit(size_mm: Sequence[Fraction | None], *, folds: bool = False) -> GaugeFit:
    """Whether a piece fits entirely into the small-parts cylinder.

    Parameters
    ----------
    size_mm
        Length, width and height of one piece, above 0; a piece lies in a box of that size and
        touches all its sides.
    folds
        Whether it is soft enough to be folded: then no length keeps it out.

    Source
    ------
    16-cfr-1501: the gauge. A box of that size that fits the shallow side holds a piece that fits;
    a piece longer than the gauge's longest diagonal does not fit. What lies between is open: a
    round head may fit where its box does not.
    """
    lengths = [float(length) for length in size_mm if length is not None]
    if len(lengths) < len(size_mm) or not all(length > 0 for length in lengths):
        return GaugeFit.UNKNOWN
    if any(
        hypot(one, other) <= DIAMETER_MM and along <= SHALLOW_MM
        for along, one, other in permutations(lengths)
    ):
        return GaugeFit.FITS
    return GaugeFit.TOO_LONG if max(lengths) > LONGEST_MM and not folds else GaugeFit.OPEN
