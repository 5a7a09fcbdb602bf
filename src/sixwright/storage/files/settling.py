"""Waiting until another program is done with a table that it saves in place.

It writes the table from its start, and holds half of it for a moment. An edit of that half would
replace the file, and the program would write the other half into the one that is gone.
"""

from collections.abc import Callable
from time import monotonic, sleep
from typing import TypeVar

T = TypeVar("T")
# Nothing may have moved for so long, in seconds, and no more is waited than this; own choices.
STILL_S, MOST_S, LOOK_S = 1.0, 5.0, 0.05


def settled(look: Callable[[], T], first: T) -> T:
    """What is seen once it has stayed the same for `STILL_S`, or after `MOST_S`.

    Parameters
    ----------
    look
        Sees how the files stand.
    first
        How they stood just now.
    """
    begun = monotonic()
    seen, since = first, begun
    while monotonic() - since < STILL_S and monotonic() - begun < MOST_S:
        sleep(LOOK_S)
        now = look()
        if now != seen:
            seen, since = now, monotonic()
    return seen
