"""The JSON Schema of line.toml, made from the list of tables, so that editors can help."""

import json
from fractions import Fraction
from typing import Any

from sixwright.kernel.currency import CURRENCIES
from sixwright.project.columns import NUMERIC, Range
from sixwright.project.tables import CellType, ColumnSchema, TableSchema
from sixwright.storage.tables.toml_text import TOML_TABLES

DRAFT = "https://json-schema.org/draft/2020-12/schema"
FORMAT = 1
_ID = "^[a-z][a-z0-9-]*$"
_CODE = r"[A-Z]{3}"
_NUMBER = r"-?\d+(\.\d+)?"
_LENGTH = {
    "anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": r"\d"}],
}


def line_schema() -> dict[str, Any]:
    """A JSON Schema of `line.toml`; keys of the user's own are allowed everywhere.

    Source
    ------
    JSON Schema, draft 2020-12; the keys are those of `project.tables`.
    """
    line = _object(next(table for table in TOML_TABLES if not table.key))
    arrays = {
        table.name: {"type": "array", "description": table.meaning, "items": _object(table)}
        for table in TOML_TABLES
        if table.key
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


def _object(table: TableSchema) -> dict[str, Any]:
    """The object of a table's row; a dotted column becomes objects within."""
    made: dict[str, Any] = {"type": "object", "properties": {}}
    for column in table.columns:
        *outer, key = column.name.split(".")
        inside = made
        for part in outer:
            inside = inside["properties"].setdefault(part, {"type": "object", "properties": {}})
        inside["properties"][key] = {"description": _told(column), **_value(column)}
    required = [column.name for column in table.columns if column.required]
    return made | ({"required": required} if required else {})


def _told(column: ColumnSchema) -> str:
    """The column's meaning as a sentence, with what leaving it out means."""
    meaning = column.meaning.replace("`", "")
    out = "" if column.required or not column.empty else f" Left out: {column.empty}."
    return f"{meaning[:1].upper()}{meaning[1:]}.{out}"


def _value(column: ColumnSchema) -> dict[str, Any]:
    if column.name == "format":
        return {"const": FORMAT}
    if column.cell is CellType.CHOICE:
        return {"type": "string", "enum": list(column.choices)}
    made = _GUESSES[column.cell] if column.may_be_guess else _VALUES[column.cell]
    return _bounded(made, column.range) if column.cell in NUMERIC else made


def _bounded(made: dict[str, Any], range_: Range) -> dict[str, Any]:
    """The numbers that a column allows; an amount of money that is text is held when read."""
    if "anyOf" in made:
        first, *rest = made["anyOf"]
        return {"anyOf": [_bounded(first, range_), *rest]}
    if made["type"] == "string":
        return made
    names = ("exclusiveMinimum" if range_.is_above else "minimum",
             "exclusiveMaximum" if range_.is_below else "maximum")  # fmt: skip
    bounds = zip(names, (range_.low, range_.high), strict=True)
    return made | {name: _number(bound) for name, bound in bounds if bound is not None}


def _number(bound: Fraction) -> int | float:
    return int(bound) if bound.denominator == 1 else float(bound)


def _or_text(pattern: str) -> dict[str, Any]:
    """A number of TOML, or a text that follows the pattern."""
    return {"anyOf": [{"type": "number"}, {"type": "string", "pattern": pattern}]}


def _list_or_words(item: dict[str, Any], pattern: str) -> dict[str, Any]:
    return {"anyOf": [{"type": "array", "items": item}, {"type": "string", "pattern": pattern}]}


_GUESS = rf"(~?{_NUMBER}|{_NUMBER} to {_NUMBER}) {_CODE}"
_GUESSES = {
    CellType.MONEY: _or_text(rf"^{_GUESS}$"),
    CellType.RATE_H: {"type": "string", "pattern": rf"^{_GUESS}/h$"},
}
_VALUES: dict[CellType, dict[str, Any]] = {
    CellType.ID: {"type": "string", "pattern": _ID},
    CellType.TEXT: {"type": "string"},
    CellType.WORDS: _list_or_words({"type": "string", "pattern": _ID}, r"^[a-z0-9 -]*$"),
    CellType.COUNT: {"type": "integer"},
    CellType.NUMBER: {"type": "number"},
    CellType.SHARE: {"type": "number"},
    CellType.MONEY: _or_text(rf"^{_NUMBER} {_CODE}$"),
    CellType.RATE_H: {"type": "string", "pattern": rf"^{_NUMBER} {_CODE}/h$"},
    CellType.BOOLEAN: {"type": "boolean"},
    CellType.DATE: {"type": "string", "format": "date"},
    CellType.CURRENCY: {"type": "string", "enum": sorted(CURRENCIES)},
    CellType.SIZE3: {"type": "array", "items": _LENGTH, "minItems": 3, "maxItems": 3},
    CellType.FACTORS: {
        "type": "array",
        "items": {"type": "number", "minimum": 0},
        "minItems": 2,
        "maxItems": 2,
    },
    CellType.LOCALE: {"type": "string", "pattern": "^[a-z]{2,3}([-_][A-Za-z0-9]+)*$"},
    CellType.SCALE: {"type": "string", "pattern": r"^1:\d+$"},
    CellType.PUBLIC: {
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
