"""Whether quotes are known, still stand, and tie up too much."""

from collections.abc import Sequence

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value, Whole
from sixwright.kernel.units import currency
from sixwright.topics.money import rules
from sixwright.topics.money.amounts import purse
from sixwright.topics.money.doubts import MoneyDoubt
from sixwright.topics.money.model import Answer, Inputs, PartMoney, Purchase
from sixwright.topics.money.said import Phrase, between, lacking, moved_by

# What of a quote may be a guess, by column.
GUESSED = {"unit_price": "the price is", "tooling": "the tooling is"}


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
    tied = [_minimum(inputs, answer, purchase) for purchase in answer.purchases]
    return [*found, *tied, *_quote_dates(inputs, answer)]


def _part_name(inputs: Inputs, part: str) -> str:
    return inputs.parts[part].called


def _subject(purchase: Purchase) -> Subject:
    return Subject("tool" if len(purchase.parts) > 1 else "part", purchase.id)


def _names(inputs: Inputs, purchase: Purchase) -> Names:
    return Names(tuple(_part_name(inputs, part) for part in purchase.parts))


def _price_known(inputs: Inputs, part: str, money: PartMoney) -> Finding:
    missing = tuple(dict.fromkeys((*money.missing, *money.missing_tooling)))
    values: dict[str, Value] = {"part": Name(_part_name(inputs, part))}
    cost, order = money.cost, money.order
    if missing or cost is None or order is None:
        message = _cost_unknown(inputs, missing, values)
    else:
        values |= {
            "order": Count(order, "piece is", "pieces are"),
            "cost": Money(cost, inputs.currency),
        }
        message = Sentence("{part}: {order} bought for {cost}.", values)
    guessed = bool(money.guesses) and not missing
    if guessed:
        what = " and ".join(
            dict.fromkeys(GUESSED[name.rpartition("/")[2]] for name in money.guesses)
        )
        template = message.template.removesuffix(".")
        message = Sentence(f"{template}; {what} a guess.", values)
    measured = None if missing else exact(0)
    limit = Limit("==", 0)
    return rules.PRICE_KNOWN.finding(
        Subject("part", part),
        Evidence(measured, limit, missing, MoneyDoubt.GUESS if guessed else None),
        message,
        remedy=_price_remedy(inputs, money, missing),
        weight=float(len(missing)),
    )


def _cost_unknown(inputs: Inputs, missing: tuple[str, ...], values: dict[str, Value]) -> Sentence:
    """What a part's cost lacks; where that is a rate alone, the quote itself is known."""
    rates = rates_alone(missing)
    if rates:
        values |= {"rates": Names(rates), "currency": inputs.currency}
        words = "rate of {rates} is" if len(rates) == 1 else "rates of {rates} are"
        text = f"What {{part}} costs in {{currency}} is not known yet: the {words} missing."
        return Sentence(text, values)
    lacks = lacking(inputs, missing)
    values |= lacks.values or {}
    text = "What {part} costs is not known yet"
    return Sentence(f"{text}; {lacks.text}." if lacks.text else f"{text}.", values)


def rates_alone(missing: Sequence[str]) -> tuple[str, ...]:
    """The currencies whose rates are all that is missing; none where anything else is."""
    rates = [place.split("/")[1] for place in missing if place.startswith("rates/")]
    return tuple(rates) if len(rates) == len(missing) else ()


def _price_remedy(inputs: Inputs, money: PartMoney, missing: tuple[str, ...]) -> Sentence | None:
    if any(place.startswith(("ways/", "prices/")) for place in missing):
        return Sentence("Fill in what is missing, or ask the maker for it.")
    if missing:
        return Sentence("Fill in what is missing.")
    way = inputs.ways.get(money.way or "")
    if money.guesses and way:
        return Sentence("Ask {maker} for a quote.", {"maker": Name(way.maker or "the maker")})
    return None


def _makers(inputs: Inputs, answer: Answer, purchase: Purchase) -> Names:
    ways = [answer.parts[part].way for part in purchase.parts]
    makers = [inputs.ways[way].maker or "the maker" for way in ways if way]
    return Names(tuple(dict.fromkeys(makers)) or ("the maker",))


def _minimum(inputs: Inputs, answer: Answer, purchase: Purchase) -> Finding:
    most = purse(inputs).line_amount(inputs.rules.surplus_most)
    tied = purchase.surplus_cost
    measured = purchase.surplus_interval
    limit = None if most is None else Limit("<=", most)
    verdict = Evidence(measured, limit).verdict
    missing = [*purchase.missing, *(["line/line/money.surplus_most"] if most is None else [])]
    values: dict[str, Value] = {"parts": _names(inputs, purchase)}
    minimum, buy = purchase.minimum, purchase.buy
    needed = "{buy} with spares" if inputs.rules.spares else "{buy}"
    if tied is None or minimum is None or buy is None:
        lacks = lacking(inputs, missing)
        values |= lacks.values or {}
        message = Sentence(
            f"What the minimum of {{parts}} ties up is not known yet; {lacks.text}.", values
        )
    elif tied:
        values |= {
            "makers": _makers(inputs, answer, purchase),
            "minimum": Count(minimum),
            "buy": Count(buy),
            "tied": Whole(Money(tied, inputs.currency)),
        }
        span = between(inputs, measured, _why(inputs, answer, purchase), whole=True)
        message = Sentence(
            f"{{parts}}: {{makers}} sells no less than {{minimum}} and you need {needed}, "
            f"so {{tied}} would sit in surplus pieces{span.text}.",
            {**values, **(span.values or {})},
        )
    else:
        values |= {"minimum": Count(minimum), "buy": Count(buy)}
        message = Sentence(
            f"{{parts}}: you need {needed}, no fewer than the minimum of {{minimum}}.", values
        )
    return rules.MINIMUM.finding(
        _subject(purchase),
        Evidence(
            measured=measured,
            limit=limit,
            missing=tuple(missing) if verdict is Verdict.UNCHECKED else (),
            unit=currency(inputs.currency),
        ),
        message,
        remedy=_minimum_remedy(inputs, answer, purchase, verdict),
        weight=float(tied or 0),
        fix=_other_way(inputs, answer, purchase) if verdict is Verdict.FAILS else None,
    )


def _why(inputs: Inputs, answer: Answer, purchase: Purchase) -> Phrase:
    """Why what is tied up may be more or less."""
    money = [answer.parts[part] for part in purchase.parts]
    expired = [each.way for each in money if each.way in answer.expired]
    guesses = [name for each in money for name in each.guesses if name.startswith("prices/")]
    return moved_by(inputs, [way for way in expired if way], guesses)


def _minimum_remedy(
    inputs: Inputs, answer: Answer, purchase: Purchase, verdict: Verdict
) -> Sentence | None:
    makers: dict[str, Value] = {"makers": _makers(inputs, answer, purchase)}
    match verdict:
        case Verdict.FAILS:
            return Sentence("Ask {makers} for a smaller run, or take another quote.", makers)
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
    label = f"Take another quote for {_part_name(inputs, purchase.parts[0])}: {relief.name}"
    return Fix(label, "parts", purchase.parts[0], (("way", relief.way),))


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
        }
        text = "{quotes} of {maker} ran out, the first on {last}, {days} ago"
        rest = _resting(inputs, boxes, even=answer.break_even.known)
        message = Sentence(f"{text}; {rest.text}.", {**values, **(rest.values or {})})
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


def _resting(inputs: Inputs, boxes: Sequence[str], *, even: bool) -> Phrase:
    """What rests on quotes that ran out: boxes, and break-even where it can be said."""
    if len(boxes) == len(inputs.sells) > 1:
        text, values = "every box counts on them", dict[str, Value]()
    else:
        text = "{boxes} counts on them" if len(boxes) == 1 else "{boxes} count on them"
        values = {"boxes": Names(tuple(boxes))}
    return Phrase(f"{text}, and so does break-even" if even else text, values)


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
