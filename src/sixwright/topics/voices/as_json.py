"""The answer as `check --json` gives it (voices.md): no voter is in it."""

from sixwright.kernel.intervals import Interval
from sixwright.topics.voices.model import Answer, PollAnswer, Said


def as_json(answer: Answer) -> dict[str, object]:
    """Plain numbers and texts, null for what is unknown."""
    return {
        "polls": {poll: _poll(said) for poll, said in answer.polls.items()},
        "subjects": {
            subject: {
                "voters": found.voters,
                "comments": len(found.comments),
                "since": found.since,
            }
            for subject, found in answer.subjects.items()
        },
        "groups": [
            {
                "id": group.id,
                "subject": group.subject,
                "voters": group.voters,
                "comments": list(group.comments),
            }
            for group in answer.groups
        ],
    }


def _poll(said: PollAnswer) -> dict[str, object]:
    return {
        "n": said.n,
        "invited": said.invited,
        "interval": said.held.value,
        "options": {
            option: {
                **_said(found.everyone),
                "backers": _said(found.backers),
                "others": _said(found.others),
                "difference": _interval(found.difference),
            }
            for option, found in said.options.items()
        },
        "sets": [
            {
                "size": chosen.size,
                "options": list(chosen.options),
                "reach": chosen.reach,
                "frequency": chosen.frequency,
                "agreed": chosen.agreed,
            }
            for chosen in said.sets
        ],
        "write_ins": dict(said.write_ins),
    }


def _said(said: Said) -> dict[str, object]:
    alone = {"value": said.mean_value, "low": None, "high": None}
    return {
        "n": said.n,
        "share": _interval(said.share),
        "mean": alone
        if said.mean is None and said.mean_value is not None
        else _interval(said.mean),
        "top": said.top,
        "bottom": said.bottom,
        "agreement": said.agreement,
        "word": said.word.value if said.word else None,
        "strength": _interval(said.strength),
    }


def _interval(found: Interval | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {"value": float(found.value), "low": float(found.low), "high": float(found.high)}
