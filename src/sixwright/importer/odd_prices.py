"""Prices that look as if a decimal mark was lost: asked about, and read as they stand."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from statistics import median

# A break seldom halves a price; thirty times its neighbours is a lost mark, not a discount (own
# choice).
FACTOR = 30

Stairs = list[tuple[int, Fraction]]


def odd_prices(prices: Iterable[Mapping[str, str]], names: Mapping[str, str]) -> Iterator[str]:
    """A sentence on each price that is far from the other breaks of its quote.

    Parameters
    ----------
    prices
        Rows of prices.csv.
    names
        Way to the name of its part.
    """
    quotes: dict[str, Stairs] = defaultdict(list)
    for row in prices:
        quotes[row["way"]].append((int(row["from_quantity"]), Fraction(row["unit_price"])))
    for way, stairs in quotes.items():
        found = _oddest(stairs)
        if found is not None:
            start, price, beside = found
            how = "above" if price > beside else "below"
            yield (
                f"“{names[way]}”: its price from {start} pieces on is far {how} the prices beside "
                "it; look whether a decimal mark was lost. It is read as it stands."
            )


def _oddest(stairs: Stairs) -> tuple[int, Fraction, Fraction] | None:
    """The break that is furthest from the middle of the others, where that is too far."""
    best: tuple[Fraction, tuple[int, Fraction, Fraction]] | None = None
    for start, price in stairs:
        others = [other for at, other in stairs if at != start and other > 0]
        if not others or price <= 0:
            continue
        beside = Fraction(median(others))
        ratio = max(price / beside, beside / price)
        if ratio > FACTOR and (best is None or ratio > best[0]):
            best = ratio, (start, price, beside)
    return best[1] if best else None
