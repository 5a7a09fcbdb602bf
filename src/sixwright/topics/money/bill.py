"""A box's money as a document states it: to the minor unit, every stated part adding up."""

from collections.abc import Mapping
from fractions import Fraction

from sixwright.kernel.currency import stated_parts
from sixwright.topics.money.model import BoxMoney

EX_WORKS = ("parts", "labour", "overhead")
BEYOND = ("duty", "freight", "fees", "reserve")
STATED = (
    *EX_WORKS,
    "unit_cost",
    *BEYOND,
    "landed",
    "price",
    "margin",
    "fixed_share",
    "margin_after_fixed_share",
    "least_price",
)


def bill(box: BoxMoney, *, places: int) -> Mapping[str, Fraction | None]:
    """Each amount of `STATED`, rounded; ex-works, landed and both margins add up.

    Parameters
    ----------
    box
        Exact amounts; None while unknown.
    places
        Decimal places that the currency is stated to.

    Raises
    ------
    InputError
        If `places` is negative.

    Source
    ------
    Own choice: docs/topics/money.md, “The method”. What rounding leaves of a sum goes to its
    largest line (kernel.currency.stated_parts); a margin is what the stated lines leave of the
    one above, so that equal lines of two boxes are stated alike.
    """
    lines = {name: _rounded(getattr(box, name), places) for name in STATED}
    spent = [getattr(box, name) for name in (*EX_WORKS, *BEYOND)]
    if all(value is not None for value in spent):
        shares = stated_parts(spent, places=places)
        lines |= dict(zip((*EX_WORKS, *BEYOND), shares, strict=True))
        lines["unit_cost"] = sum(shares[: len(EX_WORKS)], Fraction(0))
    if (price := lines["price"]) is not None and (landed := lines["landed"]) is not None:
        lines["margin"] = price - landed
    margin, fixed = lines["margin"], lines["fixed_share"]
    if margin is not None and fixed is not None:
        lines["margin_after_fixed_share"] = margin - fixed
    return lines


def _rounded(value: Fraction | None, places: int) -> Fraction | None:
    return None if value is None else stated_parts((value,), places=places)[0]
