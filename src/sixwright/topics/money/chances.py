"""What could be saved: a break above the order at which all of it costs less."""

from fractions import Fraction

from sixwright.kernel.currency import Money, stated_parts
from sixwright.kernel.findings import Chance, Subject
from sixwright.kernel.intervals import Interval, exact
from sixwright.kernel.sentences import Count, Names, Sentence, Value, Whole
from sixwright.kernel.units import currency
from sixwright.topics.money.amounts import purse
from sixwright.topics.money.model import Answer, Inputs, Purchase
from sixwright.topics.money.rules import TOPIC
from sixwright.topics.money.sensitivities import EXPIRED, LEVEL

BREAK = "break"
# A smaller saving is not worth a mention, in the line's currency: own choice, docs/topics/money.md.
LEAST = Fraction(25)


def chances(inputs: Inputs, answer: Answer) -> tuple[Chance, ...]:
    """Each purchase of which more would cost less, by no less than the least worth a mention.

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
    docs/topics/money.md, “Chances”. The order itself is never raised.
    """
    stated = purse(inputs).line_amount(inputs.rules.chance_least)
    least = LEAST if stated is None else stated
    found = [
        _break(inputs, answer, purchase, saving)
        for purchase in answer.purchases
        if (saving := purchase.saving) is not None and saving > 0 and saving >= least
    ]
    return tuple(sorted(found, key=lambda chance: -chance.saving.value))


def _break(inputs: Inputs, answer: Answer, purchase: Purchase, saving: Fraction) -> Chance:
    # Stated in whole units so that what is paid and what is saved add up to the cost.
    at_cost = purchase.cheaper_cost or Fraction(0)
    whole, saved = stated_parts((at_cost, saving), places=0)
    names = Names(tuple(inputs.parts[part].called for part in purchase.parts))
    values: dict[str, Value] = {
        "parts": names,
        "at": Count(purchase.cheaper_at or 0),
        "order": Count(purchase.order or 0),
        "saving": Whole(Money(saved, inputs.currency)),
        "cost": Whole(Money(whole + saved, inputs.currency)),
        "whole": Whole(Money(whole, inputs.currency)),
    }
    text = "{parts}: order {at} instead of {order}; that saves {saving} ({whole} instead of {cost})"
    measured, remedy = exact(saving), None
    if any(answer.parts[part].way in answer.expired for part in purchase.parts):
        low, high = inputs.rules.expired or EXPIRED
        measured = Interval(saving, saving * low, saving * high, LEVEL)
        text += ", if the quote that ran out is renewed as it was"
        remedy = Sentence("Ask for that price now.")
    elif any(answer.parts[part].guesses for part in purchase.parts):
        text += ", by prices that are guesses"
    subject = Subject("tool" if len(purchase.parts) > 1 else "part", purchase.id)
    unit = currency(inputs.currency)
    return Chance(TOPIC, BREAK, subject, measured, unit, Sentence(text + ".", values), remedy)
