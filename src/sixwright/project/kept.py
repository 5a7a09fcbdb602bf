"""What was made of a table, while the same table is asked of: most edits leave most tables alone.

Rows that were read are never changed in place (`apply.changed` copies what it changes), so one
object is one content. One result a key is held, with its table, so that no other can take its
place in memory.
"""

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

Made = TypeVar("Made")
_KEPT: dict[Hashable, tuple[object, object]] = {}


def kept(key: Hashable, table: object, make: Callable[[], Made]) -> Made:
    """What `make` makes of a table; what it made last, where the table is the same object.

    Parameters
    ----------
    key
        Names what is made, and all that it rests on beside the table.
    """
    held = _KEPT.get(key)
    if held is not None and held[0] is table:
        return cast("Made", held[1])
    made = make()
    _KEPT[key] = (table, made)
    return made


def forget(key: Hashable) -> None:
    """Hold nothing of that key."""
    _KEPT.pop(key, None)
