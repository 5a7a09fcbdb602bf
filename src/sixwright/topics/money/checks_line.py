"""Whether the line as a whole earns its costs back, and whether a rate decides that."""

from fractions import Fraction
from math import ceil

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Interval, Limit, Verdict, exact, judge
from sixwright.kernel.sentences import Count, Sentence, Share, Value, Whole
from sixwright.kernel.units import currency as of_currency
from sixwright.topics.money import rules
from sixwright.topics.money.break_even import whole_losses
from sixwright.topics.money.doubts import MoneyDoubt
from sixwright.topics.money.model import Answer, Inputs
from sixwright.topics.money.said import between, lacking, moved_by, of_its_side, profit_at_most

LEVEL = 0.95


def findings(inputs: Inputs, answer: Answer) -> list[Finding]:
    """Break-even, and each exchange rate that the line rests on.

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
    docs/topics/money.md, “Rules”.
    """
    rates = [_rate(inputs, answer, currency) for currency in currencies(inputs, answer)]
    return [_break_even(inputs, answer), *rates]


def _break_even(inputs: Inputs, answer: Answer) -> Finding:
    even = answer.break_even
    boxes = sum(count for count in inputs.orders.values() if count)
    limit = Limit("<=", boxes)
    measured = None
    if even.quantity is not None:
        measured = answer.break_even_interval or exact(even.quantity)
    unknown = not even.known or answer.profit is None
    doubt = None if unknown else _even_doubt(answer, measured, limit)
    if unknown and judge(answer.profit_interval, Limit(">=", 0)) is Verdict.FAILS:
        doubt = MoneyDoubt.LOSS
    seen = Evidence(measured, limit, _even_missing(inputs, answer) if unknown else (), doubt)
    verdict = seen.verdict
    return rules.BREAK_EVEN.finding(
        Subject("line", inputs.line),
        seen,
        _even_message(inputs, answer, boxes),
        remedy=_even_remedy(verdict, answer),
        weight=abs(float(answer.profit or 0)),
    )


def _even_doubt(answer: Answer, measured: Interval | None, limit: Limit) -> MoneyDoubt | None:
    """What the quantity alone does not say: a loss at the orders assumed fails whatever it is."""
    if measured is None:
        return MoneyDoubt.NEVER
    even, profit = judge(measured, limit), judge(answer.profit_interval, Limit(">=", 0))
    if profit is even or even is Verdict.DOUBTFUL:
        return None
    if profit is Verdict.DOUBTFUL:
        return MoneyDoubt.PROFIT_OPEN
    return MoneyDoubt.LOSS if even is Verdict.HOLDS else None


def _even_message(inputs: Inputs, answer: Answer, boxes: int) -> Sentence:
    even = answer.break_even
    if not even.known or answer.profit is None:
        return _even_unknown(inputs, answer)
    values: dict[str, Value] = {
        "boxes": Count(boxes, "box", "boxes"),
        "profit": Whole(Money(abs(answer.profit), inputs.currency)),
    }
    ends = "leaves {profit}" if answer.profit >= 0 else "loses {profit}"
    if even.quantity is None:
        text = "At no size does the line earn its costs back; at {boxes} it " + ends
    else:
        values["quantity"] = Count(ceil(even.quantity), "box", "boxes")
        text = "The line earns its costs back at {quantity}; at the {boxes} assumed it " + ends
    why = moved_by(inputs, answer.expired, answer.guesses)
    span = between(inputs, of_its_side(answer.profit_interval), why, whole=True)
    text += span.text
    values |= span.values or {}
    for i, (start, end) in enumerate(whole_losses(even)):
        values[f"from{i}"] = Count(start)
        if end is None:
            text += f"; it loses again from {{from{i}}} boxes on"
        elif end == start:
            text += f"; it loses again at {{from{i}}} boxes"
        else:
            values[f"to{i}"] = Count(end, "box", "boxes")
            text += f"; it loses again from {{from{i}}} to {{to{i}}}"
    return Sentence(text + ".", values)


def _even_unknown(inputs: Inputs, answer: Answer) -> Sentence:
    """What is missing for break-even, and what the line earns at most where that is known."""
    lacks = lacking(inputs, _even_missing(inputs, answer))
    values = dict(lacks.values or {})
    text = "How many boxes the line must sell is not known yet"
    most = profit_at_most(inputs, answer)
    if answer.profit is None and most.text and answer.sells:
        values |= most.values or {}
        text += f"; {most.text}"
    return Sentence(f"{text}; {lacks.text}." if lacks.text else f"{text}.", values)


def _even_remedy(verdict: Verdict, answer: Answer) -> Sentence | None:
    match verdict:
        case Verdict.HOLDS:
            return None
        case Verdict.UNCHECKED:
            return Sentence("Fill in what is missing.")
        case Verdict.DOUBTFUL if answer.expired:
            return Sentence("Renew the quotes that ran out before you count on it.")
        case Verdict.DOUBTFUL if answer.guesses:
            return Sentence("Ask for quotes where you guessed, before you count on it.")
        case Verdict.DOUBTFUL:
            return Sentence("Fix the exchange rate with the bank, or leave more room.")
        case _:
            return Sentence("Raise prices, take tools or parts out, or find more buyers.")


def _even_missing(inputs: Inputs, answer: Answer) -> tuple[str, ...]:
    """What the profit lacks, or else the breaks without a price that other sizes would reach."""
    ways = {money.way for money in answer.parts.values() if money.need}
    return answer.missing or tuple(
        f"prices/{row.way}/{row.from_quantity}/unit_price"
        for row in inputs.prices
        if row.way in ways and row.unit_price is None
    )


def currencies(inputs: Inputs, answer: Answer) -> tuple[str, ...]:
    """Foreign currencies that the line's money is stated in, in alphabetical order."""
    ways = {money.way for money in answer.parts.values() if money.need != 0}
    rules = inputs.rules
    amounts = [row.unit_price for row in inputs.prices if row.way in ways]
    amounts += [way.tooling for way in inputs.ways.values() if way.id in ways]
    amounts += [sold.price for sold in inputs.sells.values()]
    amounts += [rules.development, rules.labour_rate_h, rules.fee_each]
    amounts += [rules.freight_per_m3, rules.freight_each, rules.surplus_most]
    used = {money.currency for money in amounts if money is not None and money.amount}
    return tuple(sorted(used - {inputs.currency}))


def _rate(inputs: Inputs, answer: Answer, currency: str) -> Finding:
    """Whether the spread of one rate alone decides if the line earns or loses."""
    rate, profit = inputs.rates.get(currency), answer.profit
    known = rate is not None and bool(rate.per_unit)
    values: dict[str, Value] = {"currency": currency}
    measured, remedy = None, None
    missing: tuple[str, ...] = answer.missing if known else (f"rates/{currency}/per_unit",)
    limit = Limit(">=", 0) if profit is None or profit >= 0 else Limit("<", 0)
    if not known or rate is None:
        text = "The rate of {currency} is missing, so what is stated in it cannot be told in {own}."
        message = Sentence(text, {**values, "own": inputs.currency})
        remedy = Sentence("Fill in how many {currency} buy one unit of yours.", values)
    elif profit is None:
        message = Sentence("What the rate of {currency} does to the line is not known yet.", values)
        remedy = Sentence("Fill in what is missing.")
    else:
        half = (answer.rate_effects or {}).get(currency, Fraction(0))
        measured = Interval(profit, profit - half, profit + half, LEVEL) if half else exact(profit)
        values |= {
            "profit": Whole(Money(profit, inputs.currency)),
            "half": Whole(Money(half, inputs.currency)),
            "spread": Share(rate.spread),
        }
        text = "If {currency} moves by {spread}, the profit of {profit} moves by {half}"
        message = Sentence(text + ".", values)
        if not half:
            del values["half"], values["spread"]
            text = (
                "{currency} is counted without a spread: the profit of {profit} takes it as fixed"
            )
            message = Sentence(text + ".", values)
    verdict = judge(measured, limit)
    if verdict is Verdict.DOUBTFUL:
        remedy = Sentence("Fix the rate with the bank, or leave more room in the prices.")
    return rules.RATE.finding(
        Subject("rate", currency),
        Evidence(
            measured=measured,
            limit=limit,
            missing=missing if verdict is Verdict.UNCHECKED else (),
            unit=of_currency(inputs.currency),
        ),
        message,
        remedy=remedy,
        weight=float((answer.rate_effects or {}).get(currency, 0)),
    )
