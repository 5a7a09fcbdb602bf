"""Whether each box earns what it must; quotes and the whole line are judged beside."""

from fractions import Fraction
from math import isinf

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Interval, Limit, Verdict, at_most, judge
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Share, Value, Whole
from sixwright.topics.money import checks_line, checks_odd, checks_quotes, rules
from sixwright.topics.money.model import Answer, BoxMoney, Inputs
from sixwright.topics.money.said import between, lacking, moved_by, stated

# Weights are costs; a loss that no quote mends is told before money that is only tied up.
LOSS_FIRST = 1e9


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
        *checks_odd.findings(inputs, answer),
        *checks_line.findings(inputs, answer),
    )


def _margin(inputs: Inputs, money: BoxMoney, sells: str) -> Finding:
    least = inputs.rules.margin_least
    missing = [*money.missing, *money.missing_fixed]
    if money.price == 0:
        missing.append(f"{inputs.sells[sells].table}/{sells}/price")
    if least is None:
        missing.append("line/line/money.margin_least")
    limit = None if least is None else Limit(">=", least)
    measured = _share(money)
    bare = Verdict.UNCHECKED if limit is None else judge(measured, limit)
    if measured is not None and isinf(measured.low) and bare is not Verdict.FAILS:
        measured = None  # what is missing may still decide it
    seen = Evidence(measured, limit, tuple(dict.fromkeys(missing)))
    return rules.MARGIN.finding(
        Subject("sells", sells),
        seen,
        _message(inputs, money, sells),
        remedy=_remedy(inputs, money, seen.verdict),
        weight=_weight(inputs, money, sells),
        fix=_price_fix(inputs, money, sells) if seen.verdict is Verdict.FAILS else None,
    )


def _weight(inputs: Inputs, money: BoxMoney, sells: str) -> float:
    """What the box loses on all its orders; a loss that nothing mends goes before all else."""
    after = money.margin_after_fixed_share
    lost = max(0.0, -float((money.after_most if after is None else after) or 0))
    sure = LOSS_FIRST if _is_sure_loss(money) else 0
    return sure + lost * (inputs.orders.get(sells) or 0)


def _is_sure_loss(money: BoxMoney) -> bool:
    return money.after_interval is not None and money.after_interval.high < 0


def _share(money: BoxMoney) -> Interval | None:
    """The margin after the fixed share as a share of the price."""
    after, price = money.after_interval, money.price
    if after is None or not price:
        return None
    if isinf(after.low):
        return at_most(Fraction(after.high) / price)
    low, value, high = (Fraction(end) / price for end in (after.low, after.value, after.high))
    return Interval(value, low, high, after.level)


def _message(inputs: Inputs, money: BoxMoney, sells: str) -> Sentence:
    values: dict[str, Value] = {"box": Name(inputs.sells[sells].name or sells)}
    if _is_sure_loss(money):
        return _sure_loss(inputs, money, sells, values)
    if money.margin is None or money.price is None:
        return _half_known(inputs, money, values)
    lines = stated(inputs, money)
    values |= {
        "margin": Money(lines["margin"] or Fraction(0), inputs.currency),
        "price": Money(money.price, inputs.currency),
    }
    after = lines["margin_after_fixed_share"]
    if after is None:
        return _after_unknown(inputs, money, values)
    values["after"] = Money(after, inputs.currency)
    span = between(inputs, money.after_interval, moved_by(inputs, money.expired, money.guesses))
    text = "{box} leaves {margin} of {price}, and {after} after its share of the fixed costs"
    return Sentence(f"{text}{span.text}.", {**values, **(span.values or {})})


def _after_unknown(inputs: Inputs, money: BoxMoney, values: dict[str, Value]) -> Sentence:
    """A box whose margin is known, and of the fixed costs only what they come to at least."""
    lacks = lacking(inputs, money.missing_fixed)
    values |= lacks.values or {}
    most, best = money.after_most, money.after_interval
    if most is None:
        text = "{box} leaves {margin} of {price}; its share of the fixed costs is not known yet"
        return Sentence(f"{text}, {lacks.text}." if lacks.text else f"{text}.", values)
    values["most"] = Money(most, inputs.currency)
    text = "{box} leaves {margin} of {price}, and at most {most} after its share of the fixed costs"
    if best is not None and best.high > most:
        why = moved_by(inputs, money.expired, money.guesses)
        values |= {"best": Money(Fraction(best.high), inputs.currency), **(why.values or {})}
        text = f"As it is quoted now, {text} (at best {{best}}, because {why.text})"
    return Sentence(f"{text}; {lacks.text}." if lacks.text else f"{text}.", values)


def _half_known(inputs: Inputs, money: BoxMoney, values: dict[str, Value]) -> Sentence:
    """A box of whose costs a part is missing: at least what is known."""
    lacks = lacking(inputs, money.missing)
    at_least = money.at_least
    if at_least is None or not at_least.landed:
        text = "What {box} earns is not known yet"
    elif money.price is None or money.margin_most is None:
        values["landed"] = Money(at_least.landed, inputs.currency)
        text = "{box} costs at least {landed}"
    else:
        values |= {
            "landed": Money(at_least.landed, inputs.currency),
            "price": Money(money.price, inputs.currency),
            "most": Money(money.margin_most, inputs.currency),
        }
        text = "{box} costs at least {landed} and so leaves at most {most} of {price}"
        best = money.margin_interval
        if best is not None and best.high > money.margin_most:
            why = moved_by(inputs, money.expired, money.guesses)
            values |= {"best": Money(Fraction(best.high), inputs.currency), **(why.values or {})}
            text = f"As it is quoted now, {text} (at best {{best}}, because {why.text})"
    values |= lacks.values or {}
    return Sentence(f"{text}; {lacks.text}." if lacks.text else f"{text}.", values)


def _sure_loss(inputs: Inputs, money: BoxMoney, sells: str, values: dict[str, Value]) -> Sentence:
    """A box that loses whatever old quotes, guesses and what is missing turn out to be."""
    after, orders = money.after_interval, inputs.orders.get(sells)
    best = Fraction(after.high) if after else Fraction(0)
    value = stated(inputs, money)["margin_after_fixed_share"]
    most = best if money.after_most is None else money.after_most
    loss = -(most if value is None else value)
    values["loss"] = Money(loss, inputs.currency)
    text = "{box} loses {loss} each" if value is not None else "{box} loses at least {loss} each"
    if orders:
        values |= {
            "total": Whole(Money(loss * orders, inputs.currency)),
            "orders": Count(orders, "box", "boxes"),
        }
        text += ", {total} on {orders}"
    text += ", its share of the fixed costs counted"
    if value is None:
        lacks = lacking(inputs, (*money.missing, *money.missing_fixed))
        values |= lacks.values or {}
        text = f"{text}; {lacks.text}"
        text = f"As it is quoted now, {text}" if best > most else text
    if best > most or (value is not None and after and after.low != after.high):
        why = moved_by(inputs, money.expired, money.guesses)
        values |= {"best": Money(-best, inputs.currency), **(why.values or {})}
        text += f". At best it still loses {{best}}, though {why.text}"
    return Sentence(f"{text}.", values)


def _remedy(inputs: Inputs, money: BoxMoney, verdict: Verdict) -> Sentence | None:
    match verdict:
        case Verdict.HOLDS:
            return None
        case Verdict.UNCHECKED:
            return Sentence("Fill in what is missing.")
        case Verdict.DOUBTFUL if money.expired:
            makers = dict.fromkeys(inputs.ways[way].maker for way in money.expired)
            return Sentence("Ask {makers} for new quotes.", {"makers": Names(tuple(makers))})
        case Verdict.DOUBTFUL if money.guesses:
            return Sentence("Ask for quotes where you guessed.")
        case Verdict.FAILS if money.margin_after_fixed_share is None:
            return Sentence("Ask more for it or make it cheaper: what is missing only adds to it.")
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
