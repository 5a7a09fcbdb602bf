"""The comparison of ways as `check --json` gives it; docs/topics/choices.md has the form."""

from collections.abc import Mapping
from fractions import Fraction

from sixwright.kernel.currency import decimal_text
from sixwright.reports.wording.words import say
from sixwright.topics.money.model import Lead
from sixwright.workflows.choose_measures import Known, MeasureKind, Measures
from sixwright.workflows.choose_model import Compared, Exclusion, Interaction, Weighed
from sixwright.workflows.compare import compare
from sixwright.workflows.reviewed import Review

Json = dict[str, object]


def choices_json(review: Review) -> Json:
    """The open choices, all combinations and where two interact, as plain values."""
    compared = compare(review)
    currency, locale = review.project.currency, review.project.locale
    return {
        "open": {
            id_: {"alternatives": {each.id: _weighed(each, compared, currency) for each in ways}}
            for id_, ways in compared.weighed.items()
        },
        "combinations": [
            {
                "choose": dict(each.choose),
                "measures": measures_json(compared.kinds, each.measures, currency),
                "beaten_by": [dict(other) for other in each.beaten_by],
            }
            for each in compared.combinations
        ],
        "interactions": [
            *(_interaction(each, compared, currency, locale) for each in compared.interactions),
            *(_exclusion(each, locale) for each in compared.exclusions),
        ],
        "extent": str(compared.extent),
        "possible": compared.possible,
    }


def measures_json(
    kinds: tuple[MeasureKind, ...], measures: Measures | None, currency: str
) -> Json | None:
    """Measures by name, those of boxes and verdicts one level deeper; null for the unknown.

    Parameters
    ----------
    kinds
        The measures that are given, each even where it is not known.
    measures
        By id; None where nothing could be tried.
    currency
        Of the line: such amounts are decimal text.
    """
    if measures is None:
        return None
    tree: Json = {}
    branches: dict[str, Json] = {}
    for kind in kinds:
        outer, _, inner = kind.id.partition("/")
        value = _plain(measures.get(kind.id), is_money=kind.unit == currency)
        if inner:
            tree[outer] = branches.setdefault(outer, {})
            branches[outer][inner] = value
        else:
            tree[outer] = value
    return tree


def _weighed(each: Weighed, compared: Compared, currency: str) -> Json:
    return {
        "measures": measures_json(compared.kinds, each.measures, currency),
        "difference": measures_json(compared.kinds, each.difference, currency),
        "ahead": _ahead(each.lead),
        "demand": {
            poll: {box: {"low": float(f.low), "high": float(f.high)} for box, f in boxes.items()}
            for poll, boxes in each.demand.items()
        },
    }


def _ahead(lead: Lead | None) -> object:
    """Stretches, in boxes, in which a way earns more than the first; null while unknown."""
    if lead is None or not lead.known:
        return None
    return [{"from": _number(start), "to": _number(end)} for start, end in lead.ahead]


def _interaction(each: Interaction, compared: Compared, currency: str, locale: str) -> Json:
    told: Mapping[str, Known] = each.difference
    kinds = tuple(kind for kind in compared.kinds if kind.id in told)
    return {
        "choose": dict(each.choose),
        "difference": measures_json(kinds, told, currency),
        "cause": say(each.cause, locale),
    }


def _exclusion(each: Exclusion, locale: str) -> Json:
    """Two that cannot be combined: there is no difference to give."""
    return {"choose": dict(each.choose), "difference": None, "cause": say(each.cause, locale)}


def _plain(value: Known, *, is_money: bool) -> object:
    if value is None:
        return None
    return decimal_text(value) if is_money else _number(value)


def _number(value: Fraction | None) -> int | float | None:
    if value is None:
        return None
    return value.numerator if value.denominator == 1 else float(value)
