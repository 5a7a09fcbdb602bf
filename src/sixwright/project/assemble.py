"""Rows of text made into the typed whole of a line, or every reason why they cannot be."""

from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from sixwright.kernel.currency import CURRENCIES
from sixwright.kernel.errors import FolderError, Problem
from sixwright.kernel.locales import has_decimal_comma
from sixwright.line.boxes import Announced, Content, Look, Order, Part, Sold
from sixwright.line.making import MoneyRules, PriceBreak, Rate, Way
from sixwright.project.assemble_dates import date_contradictions, date_nouns
from sixwright.project.assemble_likeness import likeness_contradictions, likeness_nouns
from sixwright.project.assemble_voices import voices_contradictions, voices_nouns
from sixwright.project.check_cells import Notation, TypedCells, problem_at, references
from sixwright.project.columns import ColumnSchema
from sixwright.project.currencies import currency_of
from sixwright.project.kept import forget, kept
from sixwright.project.model import Project
from sixwright.project.records import Record, Records
from sixwright.project.tables import BY_NAME

LINE = "line"
LOCALE = "en-GB"
# Keys of [money] by the noun's field, where they differ.
_MONEY_KEYS = {
    "labour_rate_h": "labour.rate",
    "fee_share": "fees.share",
    "fee_each": "fees.each",
    "freight_per_m3": "freight.per_m3",
    "freight_volume_factor": "freight.volume_factor",
    "freight_each": "freight.each",
}
Typed = Mapping[str, Mapping[str, Mapping[str, Any]]]


def assemble(records: Records, *, unread: frozenset[str] = frozenset()) -> Project:
    """The typed whole of a line.

    Parameters
    ----------
    records
        Table, then id, then row.
    unread
        Files that could not be read: what refers to their rows is then not complained of.

    Raises
    ------
    FolderError
        With every cell that is not what its column holds, and every name that names nothing;
        with none, where only `unread` is what lacks.
    """
    problems: list[Problem] = []
    notation = _notation(records)
    typed = {
        table: _typed(table, notation, records, problems) for table in records if table in BY_NAME
    }
    problems += references(records, unread)
    if not problems and not unread:
        problems += _contradictions(records, typed)
        problems += likeness_contradictions(records, typed)
        problems += voices_contradictions(records, typed)
        problems += date_contradictions(records, typed)
    if problems or unread or LINE not in typed.get(LINE, {}):
        raise FolderError(tuple(problems))
    return _project(typed, records)


def _notation(records: Records) -> Notation:
    row = records.get(LINE, {}).get(LINE)
    cells = row.cells if row else {}
    currency = cells.get("currency")  # one that is no code is complained of where it stands
    comma = has_decimal_comma(cells.get("locale") or LOCALE)
    return Notation(currency if currency in CURRENCIES else None, comma)


def _typed(
    table: str, notation: Notation, records: Records, problems: list[Problem]
) -> Mapping[str, Mapping[str, Any]]:
    """The typed rows of a table; as they were made last, where it and its notation are the same.

    Where amounts are in the currency of another row, they rest on that table too, and are made
    anew; so is what had problems, which are then told again.
    """
    found: list[Problem] = []

    def make() -> dict[str, Mapping[str, Any]]:
        rows = records[table].items()
        return {id_: _cells(row, notation, records, found) for id_, row in rows}

    if BY_NAME[table].currency:
        made = make()
    else:
        made = kept((table, notation), records[table], make)
        if found:
            forget((table, notation))
    problems += found
    return made


_UNMET = object()
_MOST_MET = 65_536  # texts remembered of a column


def _cells(
    row: Record, notation: Notation, records: Records, problems: list[Problem]
) -> Mapping[str, Any]:
    """A row's typed cells; its bare money is in the currency of its way, else of the line."""
    own = Notation(_currency(row, notation, records), notation.comma)
    cells = TypedCells(row, own, problems)
    typed: dict[str, Any] = {}
    for column, met in _met(row.table, own):
        text = row.cells.get(column.name, "")
        value = met.get(text, _UNMET)
        if value is _UNMET:
            before = len(problems)
            value = cells.get(column.name)
            if len(problems) == before and len(met) < _MOST_MET:
                met[text] = value
        typed[column.name] = value
    fixed = _fixed_currency(row, own)
    for name, value in typed.items() if fixed else ():
        if getattr(value, "currency", fixed) != fixed:
            cells.complain(name, f"an amount in {fixed}", f"“{row.cells[name].strip()}”")
    return typed


@lru_cache(maxsize=256)
def _met(table: str, own: Notation) -> tuple[tuple[ColumnSchema, dict[str, object]], ...]:
    """Each column with the texts met in it and what they are: most texts of a table recur."""
    del own  # a part of the key alone
    return tuple((column, {}) for column in BY_NAME[table].columns)


def _currency(row: Record, notation: Notation, records: Records) -> str | None:
    """What its table says, or the line's; one that is no code is complained of where it stands."""
    if not BY_NAME[row.table].currency:
        return notation.currency
    text = currency_of(records, row.table, row.id)
    return text if text in CURRENCIES else None


def _fixed_currency(row: Record, own: Notation) -> str | None:
    """The only currency that this row's money may be in, or None where any will do."""
    return own.currency if BY_NAME[row.table].one_currency else None


def _contradictions(records: Records, typed: Typed) -> Iterator[Problem]:
    """Rows that are each well written and yet cannot both be so."""
    for id_, part in typed["parts"].items():
        way = part["way"]
        if way is not None and typed["ways"][way]["part"] != id_:
            found = f"“{way}”, a quote of {typed['ways'][way]['part']}"
            ways = [name for name, other in typed["ways"].items() if other["part"] == id_]
            yield problem_at(
                records["parts"][id_], "way", "a quote of this part", found, next(iter(ways), None)
            )
    for id_ in typed["editions"]:
        if id_ in typed["sets"]:
            found = f"“{id_}”, which an edition has already"
            yield problem_at(records["sets"][id_], "id", "an id that no edition has", found)
        if _returns(id_, typed):
            yield problem_at(
                records["editions"][id_],
                "extends",
                "an edition that does not extend this one in turn",
                f"“{typed['editions'][id_]['extends']}”",
            )


def _returns(edition: str, typed: Typed) -> bool:
    """Whether following `extends` from an edition comes back to it."""
    met: set[str] = set()
    at = typed["editions"][edition]["extends"]
    while at is not None and at not in met:
        if at == edition:
            return True
        met.add(at)
        at = typed["editions"][at]["extends"]
    return False


def _project(typed: Typed, records: Records) -> Project:
    line = typed[LINE][LINE]
    looks = typed["looks"].values()
    editions = {id_: _sold(cells, is_set=False) for id_, cells in typed["editions"].items()}
    sets = {id_: _sold(cells, is_set=True) for id_, cells in typed["sets"].items()}
    return Project(
        id=line["id"],
        name=line["name"],
        scale=line["scale"],
        currency=line["currency"],
        locale=line["locale"] or LOCALE,
        seed=line["seed"] or 0,
        looks={look["id"]: Look(look["id"], look["name"] or look["id"]) for look in looks},
        sells=editions | sets,
        parts=_parts(typed),
        contents=tuple(_content(cells) for cells in typed["contents"].values()),
        orders={id_: Order(id_, cells["quantity"]) for id_, cells in typed["orders"].items()},
        ways={id_: _way(cells) for id_, cells in typed["ways"].items()},
        prices=tuple(_price(cells) for cells in typed["prices"].values()),
        rates={id_: _rate(cells) for id_, cells in typed["rates"].items()},
        money=_rules(line),
        **likeness_nouns(typed),
        **voices_nouns(typed),
        **date_nouns(typed),
        asked_least=line["voices.asked_least"],
        told_on=line["voices.told"],
        records=records,
    )


def _without(cells: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in cells.items() if name not in {"note", *names}}


def _sold(cells: Mapping[str, Any], *, is_set: bool) -> Sold:
    own = _without(cells, "name", "public", "editions")
    return Sold(
        name=cells["name"] or cells["id"],
        is_named=bool(cells["name"]),
        is_set=is_set,
        editions=cells.get("editions") or (),
        public=tuple(Announced(group, quantity) for group, quantity in cells["public"] or ()),
        **own,
    )


def _parts(typed: Typed) -> dict[str, Part]:
    met = Counter(cells["name"] or id_ for id_, cells in typed["parts"].items())
    return {id_: _part(cells, met) for id_, cells in typed["parts"].items()}


def _part(cells: Mapping[str, Any], met: Mapping[str, int]) -> Part:
    several: dict[str, Any] = {
        name: cells[name] or () for name in ("fits", "takes", "grips", "held")
    }
    own = _without(cells, "name", "look", *several)
    name = cells["name"] or cells["id"]
    look = cells["look"] or "all"
    own |= {"has_namesake": met[name] > 1, "is_named": bool(cells["name"])}
    return Part(name=name, look=look, **several, **own)


def _content(cells: Mapping[str, Any]) -> Content:
    return Content(cells["sells"], cells["part"], cells["quantity"], cells["optional"] or False)


def _way(cells: Mapping[str, Any]) -> Way:
    own = _without(cells, "maker", "process", "yield")
    stated = cells["yield"]
    return Way(
        maker=cells["maker"] or "",
        process=cells["process"] or "",
        yield_share=Fraction(1) if stated is None else stated,
        **own,
    )


def _price(cells: Mapping[str, Any]) -> PriceBreak:
    return PriceBreak(cells["way"], cells["from_quantity"], cells["unit_price"])


def _rate(cells: Mapping[str, Any]) -> Rate:
    return Rate(cells["currency"], cells["per_unit"], cells["spread"] or Fraction(0))


def _rules(line: Mapping[str, Any]) -> MoneyRules:
    """The `[money]` keys; the noun's fields are named as they are, save those parted by a point."""
    fields = MoneyRules.__dataclass_fields__
    return MoneyRules(**{name: line[f"money.{_MONEY_KEYS.get(name, name)}"] for name in fields})
