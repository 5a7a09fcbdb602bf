"""What an outline drawn on a still is of: the head's surface, moving with expression, or apart."""

import re
from enum import StrEnum


class MovedBy(StrEnum):
    """What may move an outline beside the person: decides which sculpt it may be held against."""

    RIGID = "rigid"  # part of the skull: any expression
    MOBILE = "mobile"  # moves with the jaw and the mouth: stills of the sculpt's expression
    APART = "apart"  # hair and masks: shown, and never taken for the head


# By the first word of an outline's id. Own choice: an opening jaw moves chin, jaw and cheek, and a
# frown the brows; the nose's ridge stays. What is not known by name is taken to move.
_RIGID = frozenset({"nose", "forehead", "skull", "ear"})
_APART = frozenset({"hair", "beard", "mask", "hat", "helmet", "collar", "goggles", "neck"})


def moves_with(outline: str) -> MovedBy:
    """What may move an outline, by its id: ``jaw-left`` moves with the jaw.

    Parameters
    ----------
    outline
        Id of the outline within its still.
    """
    word = re.split(r"[^a-z]", outline.strip().lower(), maxsplit=1)[0]
    if word in _APART:
        return MovedBy.APART
    return MovedBy.RIGID if word in _RIGID else MovedBy.MOBILE
