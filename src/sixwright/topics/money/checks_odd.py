"""Whether a price looks as if a decimal mark was lost: far from the other breaks of its quote."""

from fractions import Fraction
from statistics import median

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, exact
from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.topics.money import rules
from sixwright.topics.money.doubts import MoneyDoubt
from sixwright.topics.money.model import Answer, Inputs

# A break seldom halves a price; thirty times its neighbours is a lost mark, not a discount (own
# choice; the importer asks at the same factor).
FACTOR = 30


def findings(inputs: Inputs, answer: Answer) -> list[Finding]:
    """One finding a quote of which a price is far from the others; one for the line if none is.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Source
    ------
    docs/topics/money.md, “Rules”.
    """
    counted = {money.way for money in answer.parts.values() if money.need != 0}
    prices: dict[str, dict[int, Money]] = {}
    for row in inputs.prices:
        if row.way in counted and row.unit_price is not None and row.unit_price.amount > 0:
            prices.setdefault(row.way, {})[row.from_quantity] = row.unit_price
    compared = {way: breaks for way, breaks in prices.items() if len(breaks) > 1}
    found = [
        odd for way, breaks in compared.items() if (odd := _odd(inputs, way, breaks)) is not None
    ]
    if found or not compared:
        return found
    message = Sentence(
        "No price is far from the others of its quote, in {quotes}.",
        {"quotes": Count(len(compared), "quote", "quotes")},
    )
    return [rules.ODD_PRICE.finding(Subject("line", inputs.line), _seen(Fraction(1)), message)]


def _seen(ratio: Fraction) -> Evidence:
    doubt = MoneyDoubt.FAR_OFF if ratio > FACTOR else None
    return Evidence(exact(ratio), Limit("<=", FACTOR), doubt=doubt)


def _odd(inputs: Inputs, way: str, breaks: dict[int, Money]) -> Finding | None:
    """The break that is furthest from the middle of the others, where that is too far."""
    ratios = {}
    for at, price in breaks.items():
        beside = Fraction(median(other.amount for start, other in breaks.items() if start != at))
        ratios[at] = max(price.amount / beside, beside / price.amount)
    at = max(ratios, key=lambda start: ratios[start])
    if ratios[at] <= FACTOR:
        return None
    part = inputs.ways[way].part
    values: dict[str, Value] = {
        "part": Name(inputs.parts[part].called),
        "price": breaks[at],
        "at": Count(at, "piece", "pieces"),
        "ratio": Count(round(ratios[at]), "time", "times"),
    }
    words = "{part}: {price} from {at} on is {ratio} apart from the other prices of its quote."
    remedy = Sentence("Look whether a decimal mark was lost; it counts as it stands.")
    subject, message = Subject("way", way), Sentence(words, values)
    return rules.ODD_PRICE.finding(subject, _seen(ratios[at]), message, remedy=remedy)
