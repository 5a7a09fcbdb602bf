"""Changes of a choice's file in sentences: which way was taken of which question, and why."""

import tomllib
from collections.abc import Mapping
from typing import Any

from sixwright.kernel.sentences import Name, Sentence, Value
from sixwright.project.records import Change, Records

TEXT = "text"


def told_choice(change: Change, before: Records, *, again: bool) -> Sentence:
    """One change of a choice as a sentence.

    Parameters
    ----------
    before
        The rows before it, which name a choice that went.
    again
        Whether it brings back what was there once.
    """
    row = before.get(change.table, {}).get(change.id)
    gone = row.cells.get(TEXT) if row else None
    was = _read(change.was if change.was is not None or change.add is not None else gone)
    now = _read(change.add.get(TEXT) if change.add is not None else change.value)
    values: dict[str, Value] = {"question": Name(_question(now or was, change.id))}
    if change.remove:
        return Sentence(f"The question “{{question}}” {_out(again=again)}.", values)
    if change.add is not None:
        return Sentence(f"The question “{{question}}” {_in(again=again)}.", values)
    return _between(was, now, values)


def _out(*, again: bool) -> str:
    return "is out again" if again else "was taken out"


def _in(*, again: bool) -> str:
    return "is back" if again else "was added"


def _between(was: Mapping[str, Any], now: Mapping[str, Any], values: dict[str, Value]) -> Sentence:
    """What is other in a choice's file than it was."""
    taken, open_ = now.get("taken"), "taken" not in now
    if isinstance(taken, Mapping) and taken != was.get("taken"):
        ways = _ways(now)
        way = str(taken.get("alternative", ""))
        values |= {
            "way": Name(ways.get(way, way)),
            "by": str(taken.get("by", "")),
            "reason": str(taken.get("reason", "")).rstrip(". "),
        }
        words = "“{way}” was taken for the question “{question}”, by {by}, who said: “{reason}”."
        return Sentence(words, values)
    if open_ and "taken" in was:
        return Sentence("The question “{question}” is open again.", values)
    for more, less, words in (
        (now, was, "“{way}” was kept as an option of the question “{question}”."),
        (was, now, "“{way}” is no option of the question “{question}” any more."),
    ):
        fresh = [name for id_, name in _ways(more).items() if id_ not in _ways(less)]
        if fresh:
            return Sentence(words, {**values, "way": Name(fresh[0])})
    return Sentence("The question “{question}” was changed.", values)


def _question(document: Mapping[str, Any], id_: str) -> str:
    return str(document.get("question") or id_)


def _ways(document: Mapping[str, Any]) -> dict[str, str]:
    """Id and name of each way; nothing of what is no way."""
    found = document.get("alternatives", ())
    ways = [each for each in found if isinstance(each, Mapping)] if isinstance(found, list) else []
    return {str(each.get("id", "")): str(each.get("name") or each.get("id", "")) for each in ways}


def _read(text: str | None) -> Mapping[str, Any]:
    """The keys of a choice's file; none where it is no TOML."""
    try:
        return tomllib.loads((text or "").removeprefix("\ufeff").replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError:
        return {}
