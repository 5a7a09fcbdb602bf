"""Whether each box earns what it must; quotes and the whole line are judged beside."""

from fractions import Fraction

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Interval, Limit, Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Share, Value
from sixwright.topics.money import checks_line, checks_quotes, rules
from sixwright.topics.money.doubts import MoneyDoubt
from sixwright.topics.money.model import Answer, BoxMoney, Inputs


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Every rule of money on everything it applies to, what holds included.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/money.md lists the rules.
    """
    return (
        *(_margin(inputs, answer.sells[sells], sells) for sells in inputs.sells),
        *checks_quotes.findings(inputs, answer),
        *checks_line.findings(inputs, answer),
    )


def _margin(inputs: Inputs, money: BoxMoney, sells: str) -> Finding:
    least = inputs.rules.margin_least
    measured = _share(money)
    missing = [*money.missing, *money.missing_fixed]
    if money.price == 0:
        table = "sets" if inputs.sells[sells].is_set else "editions"
        missing.append(f"{table}/{sells}/price")
    if least is None:
        missing.append("line/line/money.margin_least")
    limit = None if least is None else Limit(">=", least)
    bare = Evidence(measured, limit).verdict
    expired = bool(money.expired) and bare is not Verdict.UNCHECKED
    seen = Evidence(
        measured,
        limit,
        tuple(dict.fromkeys(missing)) if bare is Verdict.UNCHECKED else (),
        MoneyDoubt.EXPIRED if expired else None,
    )
    verdict = seen.verdict
    after = money.margin_after_fixed_share
    return rules.MARGIN.finding(
        Subject("sells", sells),
        seen,
        _message(inputs, money, sells),
        remedy=_remedy(inputs, money, verdict),
        weight=max(0.0, -float(after or 0)) * (inputs.orders.get(sells) or 0),
        fix=_price_fix(inputs, money, sells) if verdict is Verdict.FAILS else None,
    )


def _share(money: BoxMoney) -> Interval | None:
    """The margin after the fixed share as a share of the price."""
    after, price = money.after_interval, money.price
    if after is None or not price:
        return None
    low, value, high = (Fraction(end) / price for end in (after.low, after.value, after.high))
    return Interval(value, low, high, after.level)


def _message(inputs: Inputs, money: BoxMoney, sells: str) -> Sentence:
    name = Name(inputs.sells[sells].name or sells)
    after, price = money.margin_after_fixed_share, money.price
    if money.margin is None or price is None:
        return Sentence("What {box} earns is not known yet.", {"box": name})
    values: dict[str, Value] = {
        "box": name,
        "margin": Money(money.margin, inputs.currency),
        "price": Money(price, inputs.currency),
    }
    if after is None:
        return Sentence(
            "{box} leaves {margin} of {price}; its share of the fixed costs is not known yet.",
            values,
        )
    values["after"] = Money(after, inputs.currency)
    text = "{box} leaves {margin} of {price}, and {after} after its share of the fixed costs"
    if money.after_interval and money.after_interval.low != money.after_interval.high:
        values["low"] = Money(Fraction(money.after_interval.low), inputs.currency)
        values["high"] = Money(Fraction(money.after_interval.high), inputs.currency)
        text += " (from {low} to {high} as the rates may move)"
    if money.expired:
        values["quotes"] = Count(len(money.expired), "quote", "quotes")
        text += "; {quotes} that it rests on ran out"
    return Sentence(text + ".", values)


def _remedy(inputs: Inputs, money: BoxMoney, verdict: Verdict) -> Sentence | None:
    match verdict:
        case Verdict.HOLDS:
            return None
        case Verdict.UNCHECKED:
            return Sentence("Fill in what is missing.")
        case Verdict.DOUBTFUL if money.expired:
            makers = dict.fromkeys(inputs.ways[way].maker for way in money.expired)
            return Sentence("Ask {makers} for new quotes.", {"makers": Names(tuple(makers))})
        case _:
            return _dearer(inputs, money)


def _dearer(inputs: Inputs, money: BoxMoney) -> Sentence:
    if money.least_price is None:
        return Sentence("No price can do it: fees, reserve and margin take it all. Lower them.")
    return Sentence(
        "Ask {price} or more for it, or make it cheaper; {least} is the margin you want.",
        {
            "price": Money(_rounded_up(money.least_price), inputs.currency),
            "least": Share(inputs.rules.margin_least or 0),
        },
    )


def _rounded_up(price: Fraction) -> Fraction:
    """The next whole unit: a price that a box can carry."""
    return Fraction(-(-price // 1))


def _price_fix(inputs: Inputs, money: BoxMoney, sells: str) -> Fix | None:
    if money.least_price is None:
        return None
    price = f"{_rounded_up(money.least_price)} {inputs.currency}"
    table = "sets" if inputs.sells[sells].is_set else "editions"
    return Fix(f"Ask {price}", table, sells, (("price", price),))
