"""Where the money of each box goes."""

from collections.abc import Mapping
from fractions import Fraction

from sixwright.line.boxes import Sold
from sixwright.topics.money.amounts import Known, Purse, known, least, less, plus, times, weighted
from sixwright.topics.money.lots import chosen_way
from sixwright.topics.money.model import AtLeast, BoxMoney, Inputs, PartMoney

MM3_PER_M3 = 10**9


def box(
    inputs: Inputs,
    purse: Purse,
    parts: Mapping[str, PartMoney],
    charges: Mapping[str, Known],
    sells: str,
) -> BoxMoney:
    """Where the money of one box goes, before its share of the fixed costs.

    Parameters
    ----------
    inputs, purse
        The line and its rates.
    parts
        What each part costs the line.
    charges
        What one piece of each part is charged: its share, by pieces used, of all that was bought.
    sells
        Id of the edition or set.

    Raises
    ------
    KeyError
        If nothing of that id is sold.

    Source
    ------
    docs/topics/money.md, “A box”.
    """
    rules, sold = inputs.rules, inputs.sells[sells]
    held = inputs.contents[sells]
    parts_cost = weighted((count, charges[part]) for part, count in held.items())
    handled = weighted((count, _minutes(inputs, part)) for part, count in held.items())
    minutes = plus(sold.assembly_minutes, handled)
    labour = times(minutes, Fraction(1, 60), purse.line_amount(rules.labour_rate_h))
    overhead = times(plus(parts_cost, labour), rules.overhead)
    unit_cost = plus(parts_cost, labour, overhead)
    price = purse.line_amount(sold.price)
    duty = times(rules.duty, unit_cost)
    freight = plus(*_freight(inputs, purse, sold))
    fees = plus(*_fees(inputs, purse, price))
    reserve = times(rules.reserve, price)
    landed = plus(unit_cost, duty, freight, fees, reserve)
    margin = less(price, landed)
    sums = (parts_cost, labour, overhead, unit_cost, duty, freight, fees, reserve, landed, minutes)
    at_least = _stated(sums) or _at_least(inputs, purse, charges, sold)
    return BoxMoney(
        parts=parts_cost,
        minutes=minutes,
        labour=labour,
        overhead=overhead,
        unit_cost=unit_cost,
        duty=duty,
        freight=freight,
        fees=fees,
        reserve=reserve,
        landed=landed,
        price=price,
        margin=margin,
        margin_share=margin / price if margin is not None and price else None,
        fixed_share=None,
        margin_after_fixed_share=None,
        missing=_missing(inputs, purse, parts, sells) if margin is None else (),
        expired=_expired(inputs, held),
        guesses=_guesses(inputs, parts, held),
        at_least=at_least,
        margin_most=less(price, at_least.landed),
    )


def _stated(sums: tuple[Known, ...]) -> AtLeast | None:
    """The sums themselves where each is known; None where one is not."""
    known_ = tuple(each for each in sums if each is not None)
    return AtLeast(*known_) if len(known_) == len(sums) else None


def _at_least(inputs: Inputs, purse: Purse, charges: Mapping[str, Known], sold: Sold) -> AtLeast:
    """The same sums with nothing for what is missing: none of it can cost less."""
    rules, held = inputs.rules, inputs.contents[sold.id]
    price = purse.line_amount(sold.price)
    parts = least((count, charges[part]) for part, count in held.items())
    handled = ((count, _minutes(inputs, part)) for part, count in held.items())
    minutes = known(sold.assembly_minutes, least(handled))
    labour = known(times(minutes, Fraction(1, 60), purse.line_amount(rules.labour_rate_h)))
    overhead = known(times(parts + labour, rules.overhead))
    unit_cost = parts + labour + overhead
    duty = known(times(rules.duty, unit_cost))
    freight = known(*_freight(inputs, purse, sold))
    fees = known(*_fees(inputs, purse, price))
    reserve = known(times(rules.reserve, price))
    landed = unit_cost + duty + freight + fees + reserve
    sums = (parts, labour, overhead, unit_cost, duty, freight, fees, reserve, landed, minutes)
    return AtLeast(*sums)


def _fees(inputs: Inputs, purse: Purse, price: Known) -> tuple[Known, Known]:
    """What payment costs, by the price and each."""
    rules = inputs.rules
    return times(rules.fee_share, price), purse.line_amount(rules.fee_each)


def _minutes(inputs: Inputs, part: str) -> Known:
    way = chosen_way(inputs, part)
    return way.minutes if way else None


def _freight(inputs: Inputs, purse: Purse, sold: Sold) -> tuple[Known, Known]:
    """What freight costs, by volume and each."""
    rules = inputs.rules
    volume_m3 = None if sold.box_mm is None else times(*sold.box_mm, Fraction(1, MM3_PER_M3))
    by_volume = times(
        volume_m3, rules.freight_volume_factor, purse.line_amount(rules.freight_per_m3)
    )
    return by_volume, purse.line_amount(rules.freight_each)


def _expired(inputs: Inputs, held: Mapping[str, int | None]) -> tuple[str, ...]:
    """Ways in a box whose quotes are past their last day."""
    ways = [chosen_way(inputs, part) for part in held]
    return tuple(
        way.id for way in ways if way and way.valid_until and way.valid_until < inputs.today
    )


# Rules of the house whose amounts may be guesses, by the field of `MoneyRules`: their keys.
GUESSED = {
    "development": "money.development",
    "labour_rate_h": "money.labour.rate",
    "fee_each": "money.fees.each",
    "freight_per_m3": "money.freight.per_m3",
    "freight_each": "money.freight.each",
}


def _guesses(
    inputs: Inputs, parts: Mapping[str, PartMoney], held: Mapping[str, int | None]
) -> tuple[str, ...]:
    """The guesses among the quotes of its parts and the rules of the house."""
    names = [name for part in held for name in parts[part].guesses]
    names += [
        f"line/line/{key}"
        for field, key in GUESSED.items()
        if (money := getattr(inputs.rules, field)) is not None and money.guess
    ]
    return tuple(dict.fromkeys(names))


def _missing(
    inputs: Inputs, purse: Purse, parts: Mapping[str, PartMoney], sells: str
) -> tuple[str, ...]:
    sold, held = inputs.sells[sells], inputs.contents[sells]
    table = "sets" if sold.is_set else "editions"
    names = [name for part in held for name in parts[part].missing]
    for part, count in held.items():
        way = chosen_way(inputs, part)
        names += [f"contents/{sells}/{part}/quantity"] if count is None else []
        names += [f"orders/{sells}/quantity"] if parts[part].need == 0 else []
        names += [f"parts/{part}/way"] if way is None else []
        names += [f"ways/{way.id}/minutes"] if way and way.minutes is None else []
    names += [f"{table}/{sells}/assembly_minutes"] if sold.assembly_minutes is None else []
    names += [f"{table}/{sells}/box_mm"] if sold.box_mm is None else []
    names += purse.missing(sold.price, f"{table}/{sells}/price")
    return tuple(dict.fromkeys((*names, *_missing_rules(inputs, purse))))


def _missing_rules(inputs: Inputs, purse: Purse) -> list[str]:
    rules = inputs.rules
    shares = {
        "money.overhead": rules.overhead,
        "money.duty": rules.duty,
        "money.reserve": rules.reserve,
        "money.fees.share": rules.fee_share,
        "money.freight.volume_factor": rules.freight_volume_factor,
    }
    amounts = {
        "money.labour.rate": rules.labour_rate_h,
        "money.fees.each": rules.fee_each,
        "money.freight.per_m3": rules.freight_per_m3,
        "money.freight.each": rules.freight_each,
    }
    names = [f"line/line/{key}" for key, value in shares.items() if value is None]
    for key, money in amounts.items():
        names += purse.missing(money, f"line/line/{key}")
    return names
