"""The rows of likeness made into what a head is judged by."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

from sixwright.kernel.errors import Problem
from sixwright.line.landmarks import LANDMARKS
from sixwright.line.likeness import (
    OutlinePoint,
    Placement,
    Round,
    Sculpt,
    SculptAsk,
    Sighting,
    Still,
    Target,
    Term,
)
from sixwright.project.check_cells import problem_at
from sixwright.project.kept import kept
from sixwright.project.records import Records

Noun = TypeVar("Noun")
Rows = Mapping[str, Mapping[str, Any]]
Typed = Mapping[str, Rows]
BARS = ("bar_left_px", "bar_top_px", "bar_right_px", "bar_bottom_px")
SIDED = ("landmarks", "targets", "sightings")


def likeness_nouns(typed: Typed) -> dict[str, Any]:
    """The project's fields that likeness rests on, by name."""
    return {
        "sculpts": {id_: _sculpt(row) for id_, row in _rows(typed, "sculpts").items()},
        "rounds": {id_: Round(**_own(row)) for id_, row in _rows(typed, "rounds").items()},
        "placements": _made(typed, "landmarks", _placement),
        "targets": tuple(_target(row) for row in _rows(typed, "targets").values()),
        "terms": {id_: _term(row) for id_, row in _rows(typed, "terms").items()},
        "stills": {id_: _still(row) for id_, row in _rows(typed, "stills").items()},
        "sightings": _made(typed, "sightings", _sighting),
        "outlines": _made(typed, "outlines", _outline),
        "sculpt_asks": {
            id_: _ask(row) for id_, row in _rows(typed, "asks").items() if row["round"]
        },
    }


def _made(typed: Typed, table: str, noun: Callable[[Mapping[str, Any]], Noun]) -> tuple[Noun, ...]:
    """The nouns of a table of many rows; as they were made last, where the table is the same."""
    rows = _rows(typed, table)
    return kept(f"nouns of {table}", rows, lambda: tuple(noun(row) for row in rows.values()))


def likeness_contradictions(records: Records, typed: Typed) -> Iterator[Problem]:
    """Landmarks on a side that they do not have, and meant places that are half stated."""
    for table in SIDED:
        for id_, cells in _rows(typed, table).items():
            row = records[table][id_]
            yield from (
                problem_at(row, "side", expected, f"“{cells['side']}”")
                for expected in _wrong_side(cells["landmark"], cells["side"])
            )
    for id_, cells in _rows(typed, "targets").items():
        empty = [name for name in ("x_mm", "y_mm", "z_mm") if cells[name] is None]
        if len(empty) in {1, 2}:
            row = records["targets"][id_]
            expected = "all of x_mm, y_mm and z_mm, or none of them"
            yield from (problem_at(row, name, expected, "an empty cell") for name in empty)


def _wrong_side(landmark: str, side: str) -> Iterator[str]:
    """What the side of a built-in landmark must be, where it is another."""
    if landmark in LANDMARKS:
        paired = LANDMARKS[landmark].paired
        if paired == (side == "mid"):
            yield f"left or right, as {landmark} has" if paired else f"mid, as {landmark} has"


def _rows(typed: Typed, table: str) -> Rows:
    return typed.get(table, {})


def _own(cells: Mapping[str, Any], *but: str) -> dict[str, Any]:
    return {name: value for name, value in cells.items() if name not in {"note", *but}}


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def _numbers(cells: Mapping[str, Any], *names: str) -> Any:
    """The cells as one place, or None where any of them is empty."""
    values = [cells[name] for name in names]
    return None if None in values else tuple(float(value) for value in values)


def _sculpt(cells: Mapping[str, Any]) -> Sculpt:
    own = _own(cells, "expression", "tolerance_mm")
    tolerance = _number(cells["tolerance_mm"])
    return Sculpt(expression=cells["expression"] or "neutral", tolerance_mm=tolerance, **own)


def _placement(cells: Mapping[str, Any]) -> Placement:
    return Placement(
        cells["round"],
        cells["landmark"],
        cells["side"],
        _numbers(cells, "x_mm", "y_mm", "z_mm"),
        _number(cells["sd_mm"]),
        cells["how"] or "placed",
    )


def _target(cells: Mapping[str, Any]) -> Target:
    return Target(
        cells["sculpt"],
        cells["landmark"],
        cells["side"],
        _numbers(cells, "x_mm", "y_mm", "z_mm"),
        _number(cells["tolerance_mm"]),
        cells["reason"] or "",
    )


def _term(cells: Mapping[str, Any]) -> Term:
    return Term(
        cells["id"],
        cells["name"] or cells["id"],
        cells["rigid"] or False,
        cells["contour"] or False,
        _number(cells["sd_mm"]),
        _number(cells["slip_mm"]),
    )


def _still(cells: Mapping[str, Any]) -> Still:
    own = _own(cells, "expression", "squeeze", "cropped", "may_publish", *BARS)
    left, top, right, bottom = (cells[name] or 0 for name in BARS)
    for name in ("width_px", "height_px", "focal_px", "focal_sd_log"):
        own[name] = _number(cells[name])
    return Still(
        **own,
        expression=cells["expression"] or "neutral",
        squeeze=1.0 if cells["squeeze"] is None else float(cells["squeeze"]),
        cropped=cells["cropped"] or False,
        bars_px=(left, top, right, bottom),
        may_publish=cells["may_publish"] or False,
    )


def _sighting(cells: Mapping[str, Any]) -> Sighting:
    return Sighting(
        cells["still"],
        cells["landmark"],
        cells["side"],
        _numbers(cells, "x_px", "y_px"),
        _number(cells["sd_px"]),
        cells["how"],
        cells["state"] or "proposed",
    )


def _outline(cells: Mapping[str, Any]) -> OutlinePoint:
    place = _numbers(cells, "x_px", "y_px")
    sd_px = _number(cells["sd_px"])
    return OutlinePoint(cells["still"], cells["outline"], cells["point"], place, sd_px)


def _ask(cells: Mapping[str, Any]) -> SculptAsk:
    return SculptAsk(
        cells["id"],
        cells["round"],
        cells["sculpt"],
        cells["subject"] or "",
        cells["landmark"],
        cells["side"],
        cells["words"] or "",
        cells["direction"] or "",
        _number(cells["mm"]),
        cells["state"] or "open",
    )
