"""The JSON Schema of line.toml, made from the list of tables, so that editors can help."""

import json
from collections.abc import Iterable
from typing import Any

from sixwright.kernel.currency import CURRENCIES
from sixwright.project.tables import BY_NAME, Cell, Column, Table

DRAFT = "https://json-schema.org/draft/2020-12/schema"
FORMAT = 1
_ID = "^[a-z][a-z0-9-]*$"
_CODE = r"[A-Z]{3}"
_NUMBER = r"-?\d+(\.\d+)?"
_LENGTH = {
    "anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": r"\d"}],
}

# What each key means to the producer, where its label does not say enough.
_MEANINGS = {
    "line.format": "The version of the folder’s layout; 1 is the only one there is.",
    "line.id": "A short name of the line: a lower-case letter, then letters, digits and hyphens.",
    "line.name": "The name of the line, as people read it.",
    "line.scale": "How many millimetres of the person one millimetre of the figure stands for.",
    "line.currency": "The currency the boxes are sold in and all sums are stated in (ISO 4217).",
    "line.locale": "The language and country for numbers and dates, as in en-GB.",
    "line.seed": "The number that draws are made from; the same seed gives the same draws.",
    "line.money.development": "What the line costs before the first piece, besides tooling.",
    "line.money.spares": "The share bought beyond need: 0.03 is 3 %.",
    "line.money.overhead": "The share added to parts and labour.",
    "line.money.duty": "The share of the ex-works cost paid as duty.",
    "line.money.reserve": "The share of the price set aside.",
    "line.money.margin_least": "The least margin after the fixed share; below it a box fails.",
    "line.money.surplus_most": "The most that one part’s minimum may tie up; above it it fails.",
    "line.money.labour.rate": "What an hour of assembly or painting costs, as in 84 CNY/h.",
    "line.money.fees.share": "The share of the price that payment costs.",
    "line.money.fees.each": "What payment costs for each order, besides the share.",
    "line.money.freight.per_m3": "What freight costs for a cubic metre.",
    "line.money.freight.volume_factor": "How much more volume is paid than the boxes take.",
    "line.money.freight.each": "What freight costs for each box, besides its volume.",
    "line.voices.asked_least": "Voters from which a subject needs an answer; 5 if left out.",
    "line.voices.names": "keep: an import keeps voters’ names; hash, or left out: it does not.",
    "line.dates.start": "The first day of the line: nothing starts before it.",
    "line.dates.confidence": "The chance from which a promise is thought kept; 0.8 if left out.",
    "line.dates.holidays": "public: public holidays are free; none: they are worked on.",
    "looks.id": "The id of the look.",
    "looks.name": "The name of the look, as people read it.",
    "editions.id": "The id of the edition.",
    "editions.name": "The name of the edition, as people read it.",
    "editions.look": "The id of the look this edition shows.",
    "editions.extends": "The edition that this one holds all of, packing and stand aside.",
    "sets.id": "The id of the set.",
    "sets.name": "The name of the set, as people read it.",
    "sets.editions": "The ids of the editions that are sold together.",
    "sold.price": "What the box sells for; with its currency, or in the line’s.",
    "sold.cap": "The most boxes that will be made.",
    "sold.assembly_minutes": "Minutes to assemble one box.",
    "sold.box_mm": "Outside length, width and height of the box, in mm.",
    "sold.figures": "How many figures are in the box; a set of two says 2.",
    "sold.public": "What was announced: so many pieces of the parts of one group.",
    "rates.currency": "A currency that makers quote in (ISO 4217).",
    "rates.per_unit": "How many of it buy one unit of the line’s currency.",
    "rates.spread": "The relative half-width of the rate’s 95 % interval: 0.02 is ± 2 %.",
}  # fmt: skip


def line_schema() -> dict[str, Any]:
    """A JSON Schema of `line.toml`; keys of the user's own are allowed everywhere.

    Source
    ------
    JSON Schema, draft 2020-12; the keys are those of `project.tables`.
    """
    line = _object(BY_NAME["line"], "line")
    arrays = {
        name: {"type": "array", "description": about, "items": _object(BY_NAME[name], name)}
        for name, about in (
            ("looks", "The looks of the character: one design each."),
            ("editions", "The boxes that are sold, each with a price."),
            ("sets", "Several editions sold as one."),
            ("rates", "What the makers’ currencies are worth."),
        )
    }
    return {
        "$schema": DRAFT,
        "title": "line.toml: a line of sixth-scale figures",
        "description": "A key that is left out is unknown, never zero.",
        **line,
        "properties": {**line["properties"], **arrays},
    }


def schema_text() -> str:
    """The schema as it is published: the text of ``docs/line.schema.json``."""
    return json.dumps(line_schema(), indent=2, ensure_ascii=False) + "\n"


def _object(table: Table, name: str) -> dict[str, Any]:
    """The object of a table's row; a dotted column becomes objects within."""
    made: dict[str, Any] = {"type": "object", "properties": {}}
    for column in table.columns:
        *outer, key = column.name.split(".")
        inside = made
        for part in outer:
            inside = inside["properties"].setdefault(part, {"type": "object", "properties": {}})
        inside["properties"][key] = {"description": _meaning(name, column), **_value(column)}
    required = [column.name for column in table.columns if column.required]
    return made | ({"required": required} if required else {})


def _meaning(table: str, column: Column) -> str:
    keys = (f"{table}.{column.name}", f"sold.{column.name}")
    return next((_MEANINGS[key] for key in keys if key in _MEANINGS), column.label)


def _value(column: Column) -> dict[str, Any]:
    if column.name == "format":
        return {"const": FORMAT}
    if column.cell is Cell.CHOICE:
        return {"type": "string", "enum": list(column.choices)}
    return _VALUES[column.cell]


def _or_text(pattern: str, **number: object) -> dict[str, Any]:
    """A number of TOML, or a text that follows the pattern."""
    return {"anyOf": [{"type": "number", **number}, {"type": "string", "pattern": pattern}]}


def _list_or_words(item: dict[str, Any], pattern: str) -> dict[str, Any]:
    return {"anyOf": [{"type": "array", "items": item}, {"type": "string", "pattern": pattern}]}


_VALUES: dict[Cell, dict[str, Any]] = {
    Cell.ID: {"type": "string", "pattern": _ID},
    Cell.TEXT: {"type": "string"},
    Cell.WORDS: _list_or_words({"type": "string", "pattern": _ID}, r"^[a-z0-9 -]*$"),
    Cell.COUNT: {"type": "integer", "minimum": 0},
    Cell.NUMBER: {"type": "number"},
    Cell.SHARE: {"type": "number", "minimum": 0},
    Cell.MONEY: _or_text(rf"^{_NUMBER} {_CODE}$"),
    Cell.RATE_H: {"type": "string", "pattern": rf"^{_NUMBER} {_CODE}/h$"},
    Cell.BOOLEAN: {"type": "boolean"},
    Cell.DATE: {"type": "string", "format": "date"},
    Cell.CURRENCY: {"type": "string", "enum": sorted(CURRENCIES)},
    Cell.SIZE3: {"type": "array", "items": _LENGTH, "minItems": 3, "maxItems": 3},
    Cell.LOCALE: {"type": "string", "pattern": "^[a-z]{2,3}([-_][A-Za-z0-9]+)*$"},
    Cell.SCALE: {"type": "string", "pattern": r"^1:\d+$"},
    Cell.PUBLIC: {
        "type": "array",
        "items": {
            "type": "object",
            "required": ["group", "quantity"],
            "properties": {
                "group": {
                    "type": "string",
                    "pattern": _ID,
                    "description": "The group of parts that the public counts as one thing.",
                },
                "quantity": {
                    "type": "integer",
                    "minimum": 0,
                    "description": "How many of them were announced.",
                },
            },
        },
    },
}


def missing_meanings() -> Iterable[str]:
    """Keys of line.toml that no sentence explains; there should be none."""
    for name in ("line", "looks", "editions", "sets", "rates"):
        for column in BY_NAME[name].columns:
            if not {f"{name}.{column.name}", f"sold.{column.name}"} & set(_MEANINGS):
                yield f"{name}.{column.name}"
