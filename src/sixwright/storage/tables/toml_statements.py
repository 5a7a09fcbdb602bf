"""The statements of a TOML text and where each stands, so that one can be changed alone.

The library for editing TOML moves comments and loses tables that stand out of order, so that it
is used for single values only; the text is one that was read before, and thus well formed.
"""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from sixwright.kernel.errors import InternalError

_KEY = r"""(?:[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*')"""
_KEYS = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*"
_TAIL = r"[ \t]*(\#[^\n]*?)?(?:\r?\n|\Z)"
_PLAIN = re.compile(r"[A-Za-z0-9_-]+(?:\.[A-Za-z0-9_-]+)*")
_REST = re.compile(_TAIL)
_HEADER = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_KEYS})[ \t]*\]\]?{_TAIL}")
_PAIR = re.compile(rf"[ \t]*({_KEYS})[ \t]*=[ \t]*")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'', re.DOTALL
)
_COMMENT = re.compile(r"#[^\r\n]*")
_BARE = re.compile(r"[^\r\n#]*")


@dataclass(frozen=True, slots=True)
class Statement:
    """A heading or a pair of a key and a value.

    Attributes
    ----------
    kind
        ``table`` for ``[a]``, ``entry`` for ``[[a]]``, ``pair`` for ``a = 1``.
    path
        Full name, the heading's names first.
    inside
        How many of these names the heading states.
    entry
        Which entry of ``path[0]`` it belongs to, from 1; None outside arrays of tables.
    start, end
        Positions of its whole lines in the text.
    value
        Positions of a pair's value; empty for headings.
    """

    kind: Literal["table", "entry", "pair"]
    path: tuple[str, ...]
    inside: int
    entry: int | None
    start: int
    end: int
    value: tuple[int, int] = (0, 0)


def statements(text: str) -> Iterator[Statement]:
    """The statements of a text, in their order."""
    at = 0
    heading: tuple[str, ...] = ()
    entries: dict[str, int] = {}
    while at < len(text):
        if (blank := _REST.match(text, at)) and blank.end() > at:
            at = blank.end()
        elif header := _HEADER.match(text, at):
            heading, array = _names(header[2]), header[1] == "[["
            if array and len(heading) == 1:
                entries[heading[0]] = entries.get(heading[0], 0) + 1
            entry = entries.get(heading[0])
            kind: Literal["table", "entry"] = "entry" if array else "table"
            yield Statement(kind, heading, len(heading), entry, at, header.end())
            at = header.end()
        else:
            pair, value, end = _pair(text, at)
            path = (*heading, *_names(pair[1]))
            yield Statement("pair", path, len(heading), entries.get(path[0]), at, end, value)
            at = end


def comments(text: str) -> Iterator[str]:
    """The comments in a piece of a text that begins outside a string."""
    at = 0
    while at < len(text):
        if string := _STRING.match(text, at):
            at = string.end()
        elif comment := _COMMENT.match(text, at):
            yield comment[0]
            at = comment.end()
        else:
            at += 1


def _pair(text: str, at: int) -> tuple[re.Match[str], tuple[int, int], int]:
    pair = _PAIR.match(text, at)
    if pair is None:
        raise InternalError(f"text must be TOML that was read; received {text[at : at + 40]!r}.")
    start = pair.end()
    stop = _value_end(text, start)
    rest = _REST.match(text, stop)
    if rest is None:
        raise InternalError(f"text must be TOML that was read; received {text[at : at + 40]!r}.")
    return pair, (start, stop), rest.end()


def _value_end(text: str, at: int) -> int:
    """Where a value ends that begins here."""
    if string := _STRING.match(text, at):
        return string.end()
    if text[at] not in "[{":
        bare = _BARE.match(text, at)
        return at + len(bare[0].rstrip(" \t") if bare else "")
    depth = 0
    while at < len(text):
        if passed := _STRING.match(text, at) or _COMMENT.match(text, at):
            at = passed.end()
            continue
        depth += (text[at] in "[{") - (text[at] in "]}")
        at += 1
        if depth == 0:
            return at
    return at


def _names(keys: str) -> tuple[str, ...]:
    """The names of a dotted key."""
    if _PLAIN.fullmatch(keys):
        return tuple(keys.split("."))
    inner: Any = tomllib.loads(f"{keys} = 0")
    names: list[str] = []
    while isinstance(inner, dict):
        ((name, inner),) = inner.items()
        names.append(name)
    return tuple(names)
