"""Words that several sentences of money share: what is missing, and why an amount may move."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isinf

from sixwright.kernel.currency import Money, minor_units
from sixwright.kernel.intervals import Interval, Real
from sixwright.kernel.sentences import Count, Measure, Names, Value, Whole
from sixwright.topics.money.bill import bill
from sixwright.topics.money.model import Answer, BoxMoney, Inputs
from sixwright.topics.money.sensitivities import EXPIRED

# So many things are named; how many more there are is said.
MOST = 4
_RULE = ("rule of the house", "rules of the house")
# What is missing, by table and column: one, and several; told in this order.
_THINGS: Mapping[tuple[str, str], tuple[str, str]] = {
    ("prices", "unit_price"): ("price", "prices"),
    ("ways", "tooling"): ("tooling cost", "tooling costs"),
    ("rates", "per_unit"): ("rate of exchange", "rates of exchange"),
    ("contents", "quantity"): ("count of pieces", "counts of pieces"),
    ("orders", "quantity"): ("number of orders", "numbers of orders"),
    ("ways", "minimum"): ("minimum", "minimums"),
    ("ways", "yield"): ("yield", "yields"),
    ("parts", "way"): ("choice of a quote", "choices of a quote"),
    ("price", ""): ("price of a box", "prices of boxes"),
    ("line", ""): _RULE,
    ("figures", ""): ("number of figures", "numbers of figures"),
    ("box_mm", ""): ("size of a box", "sizes of boxes"),
    ("assembly_minutes", ""): ("time of assembly", "times of assembly"),
    ("ways", "minutes"): ("time of work", "times of work"),
}
_ORDER = {sort: rank for rank, sort in enumerate(_THINGS.values())}
# So many sorts are named; how many values of other sorts there are is said.
SORTS = 3
# Rules of the house whose keys do not say what they are.
_RULES = {
    "money.surplus_most": "most tied up in one part",
    "money.margin_least": "least margin",
    "money.labour.rate": "labour",
    "money.fees.share": "payment fee, share",
    "money.fees.each": "payment fee, each",
    "money.freight.per_m3": "freight a cubic metre",
    "money.freight.volume_factor": "freight volume factor",
    "money.freight.each": "freight, each",
}


@dataclass(frozen=True, slots=True)
class Phrase:
    """A stretch of a template and the values that stand in its braces; empty for nothing."""

    text: str = ""
    values: Mapping[str, Value] | None = None


def lacking(inputs: Inputs, missing: Iterable[str]) -> Phrase:
    """What is missing, by sort: “2 prices missing: Tin cup and Head C”."""
    groups: dict[tuple[str, str], dict[str, None]] = {}
    for place in missing:
        table, _, rest = place.partition("/")
        id_, _, column = rest.rpartition("/")
        sort = (column, "") if table in {"editions", "sets"} else (table, column)
        groups.setdefault(_THINGS.get(sort, _RULE), {})[_named(inputs, table, id_, column)] = None
    texts, values = [], dict[str, Value]()
    told = sorted(groups.items(), key=lambda group: _ORDER[group[0]])
    for i, (sort, found) in enumerate(told[:SORTS]):
        names = list(found)
        if len(names) > MOST:
            names = [*names[: MOST - 1], f"{len(names) - MOST + 1} more"]
        values |= {f"lacks{i}": Count(len(found), *sort), f"of{i}": Names(tuple(names))}
        texts.append(f"{{lacks{i}}} missing: {{of{i}}}")
    if left := sum(len(found) for _, found in told[SORTS:]):
        values["others"] = Count(left, "other value is", "other values are")
        texts.append("{others} missing too")
    return Phrase("; ".join(texts), values)


def _named(inputs: Inputs, table: str, id_: str, column: str) -> str:
    """What a cell belongs to, as the producer calls it."""
    first, _, rest = id_.partition("/")
    if table in {"prices", "ways"} and first in inputs.ways:
        return _part(inputs, inputs.ways[first].part)
    if table in {"parts", "contents"}:
        return _part(inputs, rest or first)
    if table in {"orders", "editions", "sets"} and first in inputs.sells:
        return inputs.sells[first].name or first
    return _RULES.get(column, column.removeprefix("money.")) if table == "line" else id_


def _part(inputs: Inputs, part: str) -> str:
    known = inputs.parts.get(part)
    return known.called if known else part


def moved_by(
    inputs: Inputs, expired: Sequence[str], guesses: Sequence[str], *, key: str = ""
) -> Phrase:
    """Why an amount may move, and how that is counted: “5 quotes ran out; each is counted …”."""
    causes, values = [], dict[str, Value]()
    if expired:
        causes.append(f"{{quotes{key}}} ran out")
        values[f"quotes{key}"] = Count(len(expired), "quote", "quotes")
    if guesses:
        causes.append(f"{{guesses{key}}} guessed")
        values[f"guesses{key}"] = Count(len(guesses), "amount is", "amounts are")
    spread = any(rate.spread for rate in inputs.rates.values())
    if spread:
        causes.append("rates may move")
    *most, last = causes or ("amounts may move",)
    text = f"{', '.join(most)} and {last}" if most else last
    how = _counted(inputs, len(expired), len(guesses) + spread, key)
    return Phrase(text + how.text, {**values, **(how.values or {})})


def _counted(inputs: Inputs, expired: int, others: int, key: str) -> Phrase:
    """How what may move is counted: each for itself, an old quote between its factors."""
    each = "; each is counted for itself" if expired + others > 1 else ""
    if not expired:
        return Phrase(each, {})
    low, high = inputs.rules.expired or EXPIRED
    span = f"at {{renewed{key}}} to {{dearer{key}}} of its price"
    if not each:
        how = f"; it is counted {span}"
    elif not others:
        how = f"{each}, {span}"
    else:
        how = f"{each}, a quote that ran out {span}"
    return Phrase(how, {f"renewed{key}": _factor(low), f"dearer{key}": _factor(high)})


def _factor(value: Fraction) -> Measure:
    """A factor to its last place, up to three."""
    digits = next((n for n in range(3) if (value * 10**n).denominator == 1), 3)
    return Measure(value, "", digits)


def between(
    inputs: Inputs, interval: Interval | None, why: Phrase, *, whole: bool = False, key: str = ""
) -> Phrase:
    """From what to what an amount may be, and why, in brackets; empty where nothing moves it."""
    if interval is None or interval.low == interval.high or isinf(interval.low):
        return Phrase("", {})

    def amount(end: float | Fraction) -> Value:
        money = Money(Fraction(end), inputs.currency)
        return Whole(money) if whole else money

    values = {f"low{key}": amount(interval.low), f"high{key}": amount(interval.high)}
    text = f" (from {{low{key}}} to {{high{key}}}, because {why.text})"
    return Phrase(text, {**values, **(why.values or {})})


def profit_at_most(inputs: Inputs, answer: Answer, *, why: bool = True) -> Phrase:
    """What the line earns at most while something is missing: as quoted, and at best.

    Parameters
    ----------
    why
        Whether to say why the two differ; not beside a sentence that says it.
    """
    most, best = answer.profit_most, answer.profit_interval
    if most is None or best is None:
        return Phrase("", {})
    values: dict[str, Value] = {"most": Whole(Money(abs(most), inputs.currency))}
    text = f"at the orders assumed the line {_earns(most)} {{most}}"
    if best.high > most:
        causes = moved_by(inputs, answer.expired, answer.guesses) if why else Phrase("", {})
        values |= {"best": Whole(Money(abs(Fraction(best.high)), inputs.currency))}
        values |= causes.values or {}
        turned = "" if (best.high >= 0) is (most >= 0) else f"it {_earns(best.high)} "
        because = f", because {causes.text}" if causes.text else ""
        text = f"as it is quoted now, {text} (at best {turned}{{best}}{because})"
    return Phrase(text, values)


def _earns(most: Real) -> str:
    return "earns at most" if most >= 0 else "loses at least"


def stated(inputs: Inputs, money: BoxMoney) -> Mapping[str, Fraction | None]:
    """A box's amounts as its bill states them, so that page and sentence agree to the cent."""
    return bill(money, places=minor_units(inputs.currency))


def of_its_side(interval: Interval | None) -> Interval | None:
    """From what to what is earned; or is lost, where the likely value is a loss."""
    if interval is None or interval.value >= 0:
        return interval
    return Interval(-interval.value, -interval.high, -interval.low, interval.level)
