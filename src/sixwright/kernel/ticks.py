"""Round values along an axis: few enough to be read, whatever the range."""

from math import floor, log10

# The most that an axis may have; more cannot be read.
MOST_TICKS = 12
FEW = 6

Ticks = tuple[tuple[float, str], ...]


def round_ticks(low: float, high: float, *, most: int = FEW, least: float = 0.0) -> Ticks:
    """Multiples of a round step from `low` to `high`, each with its plain number.

    Parameters
    ----------
    low, high
        The range, in the axis's unit.
    most
        Of ticks, 2 to `MOST_TICKS`.
    least
        The smallest step wanted, in the axis's unit.

    Source
    ------
    Own choice: steps of one, two or five of a power of ten.
    """
    if high <= low:
        return ()
    step = _round_up(max((high - low) / (most - 1), least))
    first, last = -floor(-low / step), floor(high / step)
    return tuple((i * step, f"{i * step:g}") for i in range(first, last + 1))


def _round_up(rough: float) -> float:
    size = 10.0 ** floor(log10(rough))
    return next(size * m for m in (1, 2, 5, 10) if size * m >= rough)
