"""The rows of dates made into tasks, links, people, absences, milestones, promises and slots."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from sixwright.kernel.errors import Problem
from sixwright.line.dates import (
    LAG_MOST,
    Away,
    DateRules,
    Milestone,
    Person,
    Promise,
    Slot,
    Task,
    TaskLink,
)
from sixwright.numerics.scheduling.network import Precedence, circle
from sixwright.project.check_cells import problem_at, suggestion
from sixwright.project.records import Record, Records

Rows = Mapping[str, Mapping[str, Any]]
Typed = Mapping[str, Rows]
_POINTS = ("low_days", "likely_days", "high_days")
# First and last days of a row, which must not be before the first.
_SPANS = (
    ("people", "from", "until"),
    ("away", "from", "until"),
    ("slots", "opens", "closes"),
    ("tasks", "started", "finished"),
)


def date_nouns(typed: Typed) -> dict[str, Any]:
    """The project's fields that dates rests on, by name."""
    line = typed["line"]["line"]
    return {
        "date_rules": DateRules(
            line["dates.start"],
            _real(line["dates.confidence"], 0.8),
            line["dates.holidays"] or "public",
        ),
        "tasks": {id_: _task(cells) for id_, cells in _rows(typed, "tasks").items()},
        "task_links": tuple(_link(cells) for cells in _rows(typed, "links").values()),
        "people": {id_: _person(cells) for id_, cells in _rows(typed, "people").items()},
        "away": tuple(_away(cells) for cells in _rows(typed, "away").values()),
        "milestones": {
            id_: Milestone(id_, cells["name"] or "", cells["task"], cells["public"] or False)
            for id_, cells in _rows(typed, "milestones").items()
        },
        "promises": {id_: _promise(cells) for id_, cells in _rows(typed, "promises").items()},
        "slots": tuple(
            Slot(**{name: value for name, value in cells.items() if name != "note"})
            for cells in _rows(typed, "slots").values()
        ),
    }


def date_contradictions(records: Records, typed: Typed) -> Iterator[Problem]:
    """Rows of dates that contradict themselves or each other."""
    for table, first, last in _SPANS:
        for id_, cells in _rows(typed, table).items():
            begins, ends = cells[first], cells[last]
            if begins is not None and ends is not None and ends < begins:
                row = records[table][id_]
                yield problem_at(row, last, f"a day not before {begins}", f"“{row.cells[last]}”")
    for id_, cells in _rows(typed, "tasks").items():
        yield from _points_that_fall(records["tasks"][id_], cells)
    for id_, cells in _rows(typed, "links").items():
        yield from _lag_out_of_range(records["links"][id_], cells["lag_days"])
    yield from _countries_unknown(records, _rows(typed, "people"))
    yield from _circle(records, typed)


def _points_that_fall(row: Record, cells: Mapping[str, Any]) -> Iterator[Problem]:
    stated = [(name, cells[name]) for name in _POINTS if cells[name] is not None]
    for (lower, low), (higher, high) in pairwise(stated):
        if high < low:
            expected = f"no fewer days than {lower}, {row.cells[lower].strip()}"
            yield problem_at(row, higher, expected, f"“{row.cells[higher].strip()}”")


def _lag_out_of_range(row: Record, lag: Any) -> Iterator[Problem]:
    if lag is not None and (lag.denominator != 1 or abs(lag) > LAG_MOST):
        expected = f"a whole number of days from -{LAG_MOST} to {LAG_MOST}"
        yield problem_at(row, "lag_days", expected, f"“{row.cells['lag_days'].strip()}”")


def _countries_unknown(records: Records, people: Rows) -> Iterator[Problem]:
    stated = {id_: cells["country"] for id_, cells in people.items() if cells["country"]}
    if not stated:
        return
    from sixwright.topics.dates.calendars import countries

    known = dict.fromkeys(sorted(countries()))
    for id_, country in stated.items():
        if country not in known:
            expected = "the code of a country (ISO 3166-1, as in CN) whose holidays are known"
            near = suggestion(country.upper(), known)
            yield problem_at(records["people"][id_], "country", expected, f"“{country}”", near)


def _circle(records: Records, typed: Typed) -> Iterator[Problem]:
    """Tasks that wait for each other in a circle, told once."""
    waits: dict[str, list[Precedence]] = {
        id_: [Precedence(after) for after in cells["after"] or ()]
        for id_, cells in _rows(typed, "tasks").items()
    }
    for cells in _rows(typed, "links").values():
        if cells["task"] in waits and cells["after"] in waits:  # else their file was not read
            waits[cells["task"]].append(Precedence(cells["after"]))
    found = circle(waits)
    if found:
        row = records["tasks"][found[-1]]
        told = " → ".join(found)
        yield problem_at(row, "after", "tasks that do not wait for each other in a circle", told)


def _rows(typed: Typed, table: str) -> Rows:
    return typed.get(table, {})


def _real(value: Any, default: float) -> float:
    return default if value is None else float(value)


def _maybe(value: Any) -> float | None:
    return None if value is None else float(value)


_FLOATS = (*_POINTS, "left_days", "approve_first", "approve_last")


def _task(cells: Mapping[str, Any]) -> Task:
    own = {name: value for name, value in cells.items() if name != "note"}
    own |= {name: _maybe(cells[name]) for name in _FLOATS}
    own["name"] = cells["name"] or ""
    own["after"] = cells["after"] or ()
    own["days"] = cells["days"] or ("working" if cells["who"] else "calendar")
    return Task(**own)


def _link(cells: Mapping[str, Any]) -> TaskLink:
    return TaskLink(
        cells["task"], cells["after"], cells["kind"] or "finish-start", int(cells["lag_days"] or 0)
    )


def _person(cells: Mapping[str, Any]) -> Person:
    return Person(
        cells["id"],
        cells["name"] or "",
        cells["role"] or "",
        cells["at_once"] or 1,
        cells["days_a_week"] or 5,
        cells["country"],
        cells["from"],
        cells["until"],
    )


def _away(cells: Mapping[str, Any]) -> Away:
    return Away(
        cells["id"], cells["who"], cells["from"], cells["until"], float(cells["share"]),
        cells["why"] or "",
    )  # fmt: skip


def _promise(cells: Mapping[str, Any]) -> Promise:
    return Promise(
        cells["id"], cells["milestone"], cells["date"], cells["said_on"], cells["where"] or "",
        cells["words"] or "", cells["replaces"],
    )  # fmt: skip
