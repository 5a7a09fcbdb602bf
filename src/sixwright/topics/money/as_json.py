"""The answer of money as JSON: what `check --json` gives."""

from fractions import Fraction
from math import isinf

from sixwright.kernel.currency import decimal_text
from sixwright.kernel.intervals import Interval
from sixwright.topics.money.model import Answer, BoxMoney, PartMoney


def as_json(answer: Answer) -> dict[str, object]:
    """The answer as `check --json` gives it: money as decimal text, null for the unknown."""
    even = answer.break_even
    return {
        "parts": {part: _part_json(money) for part, money in answer.parts.items()},
        "sells": {sells: _box_json(money) for sells, money in answer.sells.items()},
        "fixed": _money(answer.fixed),
        "profit": _money(answer.profit),
        "cash_asked": _money(answer.cash_asked),
        "break_even": {
            "quantity": _number(even.quantity),
            "of": "boxes",
            "losses_after": [
                {"from": _number(start), "to": _number(end)} for start, end in even.losses_after
            ],
        },
        "bounds": {sells: _bounds_json(money) for sells, money in answer.sells.items()},
    }


def _bounds_json(box: BoxMoney) -> dict[str, object]:
    """What a box's amounts may be: by what may move them, and while something is missing."""
    at_least = box.at_least
    return {
        "at_least": at_least and {name: _money(getattr(at_least, name)) for name in _COSTS},
        "margin": _ends(box.margin_interval),
        "margin_after_fixed_share": _ends(box.after_interval),
        "missing": list(dict.fromkeys((*box.missing, *box.missing_fixed))),
        "expired": list(box.expired),
        "guesses": list(box.guesses),
    }


def _ends(interval: Interval | None) -> dict[str, str | None]:
    """Low and high; null for an end that is not known."""
    ends = (None, None) if interval is None else (interval.low, interval.high)
    low, high = (None if e is None or isinf(e) else _money(Fraction(e)) for e in ends)
    return {"low": low, "high": high}


def _part_json(part: PartMoney) -> dict[str, object]:
    return {
        "need": part.need,
        "buy": part.buy,
        "order": part.order,
        "unit_price": _money(part.unit_price),
        "cost": _money(part.cost),
        "tooling": _money(part.tooling),
        "surplus": part.surplus,
        "surplus_cost": _money(part.surplus_cost),
    }


_COSTS = "parts labour overhead unit_cost duty freight fees reserve landed".split()
_BOX_MONEY = (
    "parts labour overhead unit_cost duty freight fees reserve landed price margin "
    "margin_after_fixed_share"
).split()


def _box_json(box: BoxMoney) -> dict[str, object]:
    money: dict[str, object] = {name: _money(getattr(box, name)) for name in _BOX_MONEY}
    return money | {"minutes": _number(box.minutes), "margin_share": _number(box.margin_share)}


def _money(amount: Fraction | None) -> str | None:
    return None if amount is None else decimal_text(amount)


def _number(value: Fraction | None) -> int | float | None:
    if value is None:
        return None
    return value.numerator if value.denominator == 1 else float(value)
