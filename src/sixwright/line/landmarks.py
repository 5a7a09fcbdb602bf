"""The landmarks of a head that are built in: plain words, what moves them, which way they face."""

from dataclasses import dataclass
from math import sqrt

from sixwright.line.likeness import Key, Term


@dataclass(frozen=True, slots=True)
class Landmark:
    """One landmark of the head.

    Attributes
    ----------
    term
        Its id, its name in plain words, and whether it is rigid and a contour.
    paired
        Whether there is one on each side.
    outward
        Unit normal of the surface there, sculpt frame, of the figure's left one.
    meaning
        Where it lies, in a sentence.
    """

    term: Term
    paired: bool
    outward: tuple[float, float, float]
    meaning: str


# Definition spread along the surface, mm at full size, of a landmark that is marked by eye:
# crisp ones about one, soft ones some millimetres. Own choice, no source.
CRISP, MIDDLING, SOFT = 1.0, 1.5, 3.0

# How far frowns, squints and open jaws move what is called rigid, mm at full size: own choice, no
# source. Brows draw the skin between them and the hairline; lids the eye corners, the outer more;
# an opening jaw the root of the ear lobe.
SLIPS_MM = {
    "glabella": 1.5,
    "sellion": 0.5,
    "trichion": 1.5,
    "endocanthion": 0.5,
    "exocanthion": 1.0,
    "frontotemporale": 1.0,
    "tragion": 0.5,
    "otobasion-inferius": 1.0,
}

# id; name; mid or pair; rigid or mobile; point or contour; spread; outward; meaning
_ROWS: "tuple[Listed, ...]" = (
    ("glabella", "between the brows", "mid", "rigid", "point", MIDDLING, (0, 0.1, 1),
     "the foremost point of the forehead between the brows"),
    ("sellion", "nose root", "mid", "rigid", "point", MIDDLING, (0, 0.1, 1),
     "the deepest point of the nose bridge"),
    ("pronasale", "nose tip", "mid", "rigid", "point", CRISP, (0, 0, 1),
     "the foremost point of the nose"),
    ("subnasale", "under the nose", "mid", "rigid", "point", CRISP, (0, -0.4, 0.9),
     "where the nose's partition meets the upper lip"),
    ("labiale-superius", "upper lip", "mid", "mobile", "point", CRISP, (0, 0.2, 1),
     "the middle of the upper lip's red edge"),
    ("stomion", "middle of the mouth", "mid", "mobile", "point", CRISP, (0, 0, 1),
     "where the lips meet in the middle; of an open mouth, the upper lip's lower edge"),
    ("labiale-inferius", "lower lip", "mid", "mobile", "point", CRISP, (0, -0.2, 1),
     "the middle of the lower lip's red edge"),
    ("sublabiale", "under the lower lip", "mid", "mobile", "point", MIDDLING, (0, -0.1, 1),
     "the deepest point of the furrow above the chin"),
    ("pogonion", "chin point", "mid", "mobile", "point", MIDDLING, (0, -0.2, 1),
     "the foremost point of the chin"),
    ("gnathion", "under the chin", "mid", "mobile", "contour", SOFT, (0, -0.95, 0.3),
     "the lowest point of the chin's outline"),
    ("trichion", "hairline", "mid", "rigid", "point", MIDDLING, (0, 0.6, 0.8),
     "where the hair begins above the middle of the forehead"),
    ("vertex", "top of the head", "mid", "rigid", "contour", SOFT, (0, 1, 0),
     "the highest point of the head, hair aside"),
    ("opisthocranion", "back of the head", "mid", "rigid", "contour", SOFT, (0, 0.1, -1),
     "the rearmost point of the head, hair aside"),
    ("cervicale", "nape", "mid", "mobile", "point", SOFT, (0, 0, -1),
     "the bump at the back where the neck begins"),
    ("endocanthion", "inner eye corner", "pair", "rigid", "point", CRISP, (0.1, 0, 1),
     "where the lids meet on the nose's side"),
    ("exocanthion", "outer eye corner", "pair", "rigid", "point", CRISP, (0.6, 0, 0.8),
     "where the lids meet on the temple's side"),
    ("pupil", "pupil", "pair", "mobile", "point", CRISP, (0.15, 0, 1),
     "the middle of the pupil; it moves with the gaze"),
    ("palpebrale-superius", "upper lid", "pair", "mobile", "point", CRISP, (0.2, 0.3, 0.95),
     "the highest point of the upper lid's edge"),
    ("palpebrale-inferius", "lower lid", "pair", "mobile", "point", CRISP, (0.2, -0.2, 0.95),
     "the lowest point of the lower lid's edge"),
    ("alare", "nose wing", "pair", "mobile", "point", CRISP, (0.85, -0.1, 0.5),
     "the outermost point of the nose wing"),
    ("cheilion", "mouth corner", "pair", "mobile", "point", CRISP, (0.5, 0, 0.85),
     "where the lips' red edges meet"),
    ("zygion", "cheekbone", "pair", "rigid", "contour", SOFT, (0.95, 0, 0.3),
     "the outermost point of the cheekbone"),
    ("gonion", "jaw angle", "pair", "mobile", "contour", SOFT, (0.9, -0.45, 0),
     "the outermost point of the jaw's angle"),
    ("tragion", "ear notch", "pair", "rigid", "point", MIDDLING, (0.97, 0, 0.25),
     "the notch above the small flap before the ear's opening"),
    ("frontotemporale", "temple", "pair", "rigid", "point", MIDDLING, (0.75, 0.1, 0.65),
     "where the brow ridge turns into the temple"),
    ("otobasion-inferius", "ear lobe root", "pair", "rigid", "point", CRISP, (0.95, -0.2, 0.25),
     "where the ear lobe joins the cheek"),
    ("superciliare", "brow", "pair", "mobile", "point", MIDDLING, (0.3, 0.2, 0.93),
     "the highest point of the eyebrow's upper edge"),
)  # fmt: skip


Listed = tuple[str, str, str, str, str, float, tuple[float, float, float], str]


def _landmark(row: Listed) -> Landmark:
    id_, name, sides, moves, shown, sd_mm, (x, y, z), meaning = row
    length = sqrt(x * x + y * y + z * z)
    return Landmark(
        Term(id_, name, moves == "rigid", shown == "contour", sd_mm, SLIPS_MM.get(id_)),
        sides == "pair",
        (x / length, y / length, z / length),
        meaning,
    )


LANDMARKS: dict[str, Landmark] = {row[0]: _landmark(row) for row in _ROWS}

# The six that are marked first on a still: far apart, and seen from the front to three quarters.
MARKED_FIRST: tuple[Key, ...] = (
    ("exocanthion", "left"), ("exocanthion", "right"), ("subnasale", "mid"),
    ("cheilion", "left"), ("cheilion", "right"), ("gnathion", "mid"),
)  # fmt: skip
# Those of the built-in ones that a front view shows next, the crispest first: own choice.
MARKED_NEXT = ("pronasale", "endocanthion", "sellion", "stomion", "alare")


def sides_of(landmark: str) -> tuple[str, ...]:
    """The sides on which a landmark may lie; of one of the line's own, any."""
    if landmark not in LANDMARKS:
        return ("left", "right", "mid")
    return ("left", "right") if LANDMARKS[landmark].paired else ("mid",)


def marking_order() -> tuple[Key, ...]:
    """Every built-in landmark with its side, in the order in which a still is marked."""
    rest = dict.fromkeys((*MARKED_NEXT, *LANDMARKS))
    keys = ((id_, side) for id_ in rest for side in sides_of(id_))
    return tuple(dict.fromkeys((*MARKED_FIRST, *keys)))


def outward_of(key: Key) -> tuple[float, float, float] | None:
    """Unit normal of the surface at a built-in landmark; None for one of the line's own."""
    if key[0] not in LANDMARKS:
        return None
    x, y, z = LANDMARKS[key[0]].outward
    return (-x, y, z) if key[1] == "right" else (x, y, z)


def the(name: str) -> str:
    """A landmark's name to be spoken of: “the nose tip”, “the place between the brows”."""
    return f"the place {name}" if name.startswith(("between ", "under ")) else f"the {name}"


def name_of(key: Key, name: str) -> str:
    """A landmark in plain words with its side: “left mouth corner”."""
    return name if key[1] == "mid" else f"{key[1]} {name}"
