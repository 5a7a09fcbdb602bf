"""Whether quotes are known, still stand, tie up too much, and have a cheaper break above."""

from sixwright.kernel.currency import Money, stated_parts
from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact, judge
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value, Whole
from sixwright.kernel.units import currency
from sixwright.topics.money import rules
from sixwright.topics.money.amounts import purse
from sixwright.topics.money.doubts import MoneyDoubt
from sixwright.topics.money.model import Answer, Inputs, PartMoney, Purchase


def findings(inputs: Inputs, answer: Answer) -> list[Finding]:
    """The rules on quotes, on everything that the orders make the producer buy.

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
    found = [
        _price_known(inputs, part, money) for part, money in answer.parts.items() if money.need != 0
    ]
    for purchase in answer.purchases:
        found += [_minimum(inputs, answer, purchase), _break(inputs, answer, purchase)]
    return [*found, *_quote_dates(inputs, answer)]


def _part_name(inputs: Inputs, part: str) -> str:
    return inputs.parts[part].name or part


def _subject(purchase: Purchase) -> Subject:
    return Subject("tool" if len(purchase.parts) > 1 else "part", purchase.id)


def _names(inputs: Inputs, purchase: Purchase) -> Names:
    return Names(tuple(_part_name(inputs, part) for part in purchase.parts))


def _price_known(inputs: Inputs, part: str, money: PartMoney) -> Finding:
    missing = tuple(dict.fromkeys((*money.missing, *money.missing_tooling)))
    values: dict[str, Value] = {"part": Name(_part_name(inputs, part))}
    price, order = money.unit_price, money.order
    if missing or price is None or order is None:
        message = Sentence("What {part} costs is not known yet.", values)
    else:
        values |= {"order": Count(order), "price": Money(price, inputs.currency)}
        message = Sentence("{part}: {order} are bought at {price} each.", values)
    measured = None if missing else exact(0)
    limit = Limit("==", 0)
    return rules.PRICE_KNOWN.finding(
        Subject("part", part),
        Evidence(measured=measured, limit=limit, missing=missing),
        message,
        remedy=Sentence("Fill in what is missing, or ask the maker for it.") if missing else None,
        weight=float(len(missing)),
    )


def _rests_on_expired(answer: Answer, purchase: Purchase) -> bool:
    return any(answer.parts[part].way in answer.expired for part in purchase.parts)


def _makers(inputs: Inputs, answer: Answer, purchase: Purchase) -> Names:
    ways = [answer.parts[part].way for part in purchase.parts]
    makers = [inputs.ways[way].maker or "the maker" for way in ways if way]
    return Names(tuple(dict.fromkeys(makers)) or ("the maker",))


def _minimum(inputs: Inputs, answer: Answer, purchase: Purchase) -> Finding:
    most = purse(inputs).line_amount(inputs.rules.surplus_most)
    tied = purchase.surplus_cost
    measured = None if tied is None else exact(tied)
    limit = None if most is None else Limit("<=", most)
    bare = Evidence(measured, limit).verdict
    expired = tied and bare is not Verdict.UNCHECKED and _rests_on_expired(answer, purchase)
    doubt = MoneyDoubt.EXPIRED if expired else None
    verdict = doubt.verdict if doubt else bare
    values: dict[str, Value] = {"parts": _names(inputs, purchase)}
    minimum, buy = purchase.minimum, purchase.buy
    if tied is None or minimum is None or buy is None:
        message = Sentence("What the minimum of {parts} ties up is not known yet.", values)
    elif tied:
        values |= {
            "makers": _makers(inputs, answer, purchase),
            "minimum": Count(minimum),
            "buy": Count(buy),
            "tied": Whole(Money(tied, inputs.currency)),
        }
        message = Sentence(
            "{parts}: {makers} sells no less than {minimum} and you need {buy}, "
            "so {tied} would sit in spares.",
            values,
        )
    else:
        values |= {"minimum": Count(minimum), "buy": Count(buy)}
        message = Sentence(
            "{parts}: you need {buy}, no fewer than the minimum of {minimum}.", values
        )
    missing = [*purchase.missing, *(["line/line/money.surplus_most"] if most is None else [])]
    return rules.MINIMUM.finding(
        _subject(purchase),
        Evidence(
            measured=measured,
            limit=limit,
            missing=tuple(missing) if verdict is Verdict.UNCHECKED else (),
            doubt=doubt,
            unit=currency(inputs.currency),
        ),
        message,
        remedy=_minimum_remedy(inputs, answer, purchase, verdict),
        weight=float(tied or 0),
        fix=_other_way(inputs, answer, purchase) if verdict is Verdict.FAILS else None,
    )


def _minimum_remedy(
    inputs: Inputs, answer: Answer, purchase: Purchase, verdict: Verdict
) -> Sentence | None:
    makers: dict[str, Value] = {"makers": _makers(inputs, answer, purchase)}
    match verdict:
        case Verdict.FAILS:
            return Sentence("Ask {makers} for a smaller run, or make it another way.", makers)
        case Verdict.DOUBTFUL:
            return Sentence("Ask {makers} for a new quote.", makers)
        case Verdict.UNCHECKED:
            return Sentence("Fill in what is missing.")
        case _:
            return None


def _other_way(inputs: Inputs, answer: Answer, purchase: Purchase) -> Fix | None:
    """The rival way that ties up little enough and leaves the line the most, if one does."""
    relief = answer.reliefs.get(purchase.id)
    if relief is None:
        return None
    label = f"Make {_part_name(inputs, purchase.parts[0])} another way: {relief.name}"
    return Fix(label, "parts", purchase.parts[0], (("way", relief.way),))


def _break(inputs: Inputs, answer: Answer, purchase: Purchase) -> Finding:
    saving, limit = purchase.saving, Limit("<=", 0)
    measured = None if saving is None else exact(saving)
    expired = judge(measured, limit) is Verdict.FAILS and _rests_on_expired(answer, purchase)
    doubt = MoneyDoubt.EXPIRED if expired else None
    values: dict[str, Value] = {"parts": _names(inputs, purchase)}
    remedy = None
    at, at_cost, cost, order = (
        purchase.cheaper_at,
        purchase.cheaper_cost,
        purchase.cost,
        purchase.order,
    )
    if saving is None or cost is None or order is None:
        message = Sentence("Whether more of {parts} would cost less is not known yet.", values)
        remedy = Sentence("Fill in what is missing.")
    elif at is None or at_cost is None:
        message = Sentence(
            "{parts}: {order} are bought at the last break.", _ordered(values, order)
        )
    else:
        _ordered(values, order)
        values |= {"cost": Whole(Money(cost, inputs.currency)), "at": Count(at)}
        # Stated in whole units so that what is paid and what is saved add up to the cost.
        whole, saved = stated_parts((at_cost, saving), places=0)
        values["whole"] = Whole(Money(whole, inputs.currency))
        text = "{parts}: {order} cost {cost}, and {at} would cost {whole}"
        if saving > 0:
            values["saving"] = Whole(Money(saved, inputs.currency))
            text += ", {saving} less"
            remedy = Sentence("Order {at}, or ask for that price now.", {"at": Count(at)})
        message = Sentence(text + ".", values)
    return rules.BREAK.finding(
        _subject(purchase),
        Evidence(
            measured=measured,
            limit=limit,
            missing=_missing_breaks(inputs, answer, purchase) if saving is None else (),
            doubt=doubt,
            unit=currency(inputs.currency),
        ),
        message,
        remedy=remedy,
        weight=max(0.0, float(saving or 0)),
    )


def _ordered(values: dict[str, Value], order: int) -> dict[str, Value]:
    values["order"] = Count(order)
    return values


def _missing_breaks(inputs: Inputs, answer: Answer, purchase: Purchase) -> tuple[str, ...]:
    """What the purchase rests on, and the breaks without a price."""
    ways = {answer.parts[part].way for part in purchase.parts}
    unpriced = [
        f"prices/{row.way}/{row.from_quantity}/unit_price"
        for row in inputs.prices
        if row.way in ways and row.unit_price is None
    ]
    return tuple(dict.fromkeys((*purchase.missing, *unpriced)))


def _quote_dates(inputs: Inputs, answer: Answer) -> list[Finding]:
    """One finding a maker whose quotes have a last day, and one for all that have none."""
    needed = [money.way for money in answer.parts.values() if money.need != 0 and money.way]
    undated = [way for way in needed if inputs.ways[way].valid_until is None]
    makers: dict[str, list[str]] = {}
    for way in needed:
        if way not in undated:
            makers.setdefault(inputs.ways[way].maker or "the maker", []).append(way)
    found = [_quote_date(inputs, answer, maker, ways) for maker, ways in makers.items()]
    return [*found, _undated(inputs, undated)] if undated else found


def _quote_date(inputs: Inputs, answer: Answer, maker: str, ways: list[str]) -> Finding:
    last = min(date for way in ways if (date := inputs.ways[way].valid_until) is not None)
    past = [way for way in ways if way in answer.expired]
    days = exact((inputs.today - last).days)
    values: dict[str, Value] = {"maker": Name(maker), "last": last}
    if past:
        boxes = [
            inputs.sells[sells].name or sells
            for sells, money in answer.sells.items()
            if set(past) & set(money.expired)
        ]
        values |= {
            "quotes": Count(len(past), "quote", "quotes"),
            "days": Count(days.value if isinstance(days.value, int) else 0, "day", "days"),
            "boxes": Names(tuple(boxes)),
        }
        message = Sentence(
            "{quotes} of {maker} ran out, the first on {last}, {days} ago; "
            "break-even counts on them, and so do {boxes}.",
            values,
        )
        remedy = Sentence("Ask {maker} for new quotes.", {"maker": Name(maker)})
    else:
        values["quotes"] = Count(len(ways), "quote", "quotes")
        message = Sentence("{quotes} of {maker} stand until {last} at least.", values)
        remedy = None
    return rules.QUOTE_DATE.finding(
        Subject("maker", maker),
        Evidence(
            measured=days,
            limit=None if past else Limit("<=", 0),
            doubt=MoneyDoubt.LAST_DAY_PASSED if past else None,
        ),
        message,
        remedy=remedy,
        weight=float(len(past)),
    )


def _undated(inputs: Inputs, ways: list[str]) -> Finding:
    names = Names(tuple(_part_name(inputs, inputs.ways[way].part) for way in ways))
    count = Count(len(ways), "quote has", "quotes have")
    return rules.QUOTE_DATE.finding(
        Subject("line", inputs.line),
        Evidence(missing=tuple(f"ways/{way}/valid_until" for way in ways)),
        Sentence("{count} no last day: {parts}.", {"count": count, "parts": names}),
        remedy=Sentence("Ask the makers until when their quotes stand."),
        weight=float(len(ways)),
    )
