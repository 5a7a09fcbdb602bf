"""What a sculptor calls a feature, and the landmarks that it is of."""

from sixwright.line.likeness import Key

SIDED = ("left", "right")
MID = ("mid",)
# Its name, its landmarks, and the sides they are of.
FEATURES: tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...] = (
    ("nose", (("pronasale", MID), ("subnasale", MID), ("alare", SIDED))),
    *(
        (f"{side} eye", tuple((name, (side,)) for name in (
            "endocanthion", "exocanthion", "palpebrale-superius", "palpebrale-inferius")))
        for side in SIDED
    ),
    ("mouth", (("labiale-superius", MID), ("stomion", MID), ("labiale-inferius", MID),
               ("cheilion", SIDED))),
    ("chin", (("sublabiale", MID), ("pogonion", MID), ("gnathion", MID))),
    ("jaw", (("gonion", SIDED),)),
    *(
        (f"{side} ear", (("tragion", (side,)), ("otobasion-inferius", (side,))))
        for side in SIDED
    ),
    ("brow", (("glabella", MID), ("superciliare", SIDED))),
)  # fmt: skip


def rows_of(keys: tuple[Key, ...]) -> dict[str, tuple[int, ...]]:
    """Rows of each feature's landmarks among some, of features with two or more of them there."""
    at = {key: i for i, key in enumerate(keys)}
    found = {
        name: tuple(at[id_, side] for id_, sides in parts for side in sides if (id_, side) in at)
        for name, parts in FEATURES
    }
    return {name: rows for name, rows in found.items() if len(rows) >= 2}
