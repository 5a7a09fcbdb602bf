"""The answer as `check --json` gives it (dates.md): dates of ISO 8601, null for what is unknown."""

import datetime as dt
from dataclasses import asdict

from sixwright.kernel.intervals import Interval
from sixwright.topics.dates.model import Answer, Reached


def as_json(answer: Answer) -> dict[str, object]:
    """Plain numbers and texts."""
    milestones = {id_: _reached(found) for id_, found in answer.milestones.items()}
    return {
        "start": answer.start.isoformat(),
        "draws": answer.draws,
        "network": {
            id_: None if found is None else asdict(found) for id_, found in answer.network.items()
        },
        "plan": {
            "tasks": {
                id_: {"start": None, "finish": None}
                if each is None
                else {"start": each.start.isoformat(), "finish": each.finish.isoformat()}
                for id_, each in answer.plan.tasks.items()
            },
            "finish": _day(answer.plan.finish),
            "bound_days": answer.plan.bound_days,
            "proven": answer.plan.proven,
        },
        "tasks": {
            id_: {
                **_reached(None if found is None else found.finish),
                "critical": None if found is None else found.critical,
            }
            for id_, found in answer.tasks.items()
        },
        "milestones": {
            id_: {"plan": _day(answer.planned.get(id_)), **found}
            for id_, found in milestones.items()
        },
        "promises": {
            id_: {"date": found.date.isoformat(), "chance": _interval(found.chance)}
            for id_, found in answer.promises.items()
        },
        "gains": [asdict(gain) for gain in answer.gains],
        "load": [
            {"who": each.who, "week": each.week, "asked": each.asked, "there": each.there}
            for each in answer.load
        ],
    }


def _reached(found: Reached | None) -> dict[str, str | None]:
    if found is None:
        return {"p50": None, "p80": None, "p95": None}
    return {"p50": _day(found.p50), "p80": _day(found.p80), "p95": _day(found.p95)}


def _day(day: dt.date | None) -> str | None:
    return None if day is None else day.isoformat()


def _interval(found: Interval | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {"value": float(found.value), "low": float(found.low), "high": float(found.high)}
