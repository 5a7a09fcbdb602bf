"""Each head from the front and from the side: landmarks, corrections, and how sure they are."""

from math import atan2, sqrt

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.pictures import Arrow, Drawing, DrawingMark, Ellipse, Point, Polyline, Tone
from sixwright.line.likeness import Key
from sixwright.numerics.multiple_tests import region_squared
from sixwright.topics.likeness.directions import off_by_stills, off_in_seen
from sixwright.topics.likeness.model import Answer, Inputs, LandmarkAnswer, Matrix, RoundAnswer

# Lines of a face between landmarks, drawn where all of them are there: ours, to know the place by.
CHAINS: tuple[tuple[Key, ...], ...] = (
    tuple((name, "mid") for name in (
        "vertex", "trichion", "glabella", "sellion", "pronasale", "subnasale", "labiale-superius",
        "stomion", "labiale-inferius", "sublabiale", "pogonion", "gnathion")),
    *((("endocanthion", s), ("palpebrale-superius", s), ("exocanthion", s),
       ("palpebrale-inferius", s), ("endocanthion", s)) for s in ("left", "right")),
    *((("glabella", "mid"), ("superciliare", s), ("frontotemporale", s))
      for s in ("left", "right")),
    *((("pronasale", "mid"), ("alare", s), ("subnasale", "mid")) for s in ("left", "right")),
    *((("labiale-superius", "mid"), ("cheilion", s), ("labiale-inferius", "mid"))
      for s in ("left", "right")),
    *((("gnathion", "mid"), ("gonion", s), ("otobasion-inferius", s), ("tragion", s))
      for s in ("left", "right")),
)  # fmt: skip
MARGIN_MM = 3.0
SCALE_BAR_MM = 5.0
LEVEL = 0.95
MOST_MM = 4.0  # a longer region would hide the head; it is blind and not drawn
# What a view shows: sideways (of x, y, z, with a sign) and up.
FRONT, SIDE = ((0, 1.0), (1, 1.0)), ((2, 1.0), (1, 1.0))


def pictures(inputs: Inputs, answer: Answer) -> tuple[Drawing, ...]:
    """Front and side of the latest round of each head, in the folder's order.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    Own choice: the head as one faces it, its left on the right; mm at 1:6, arrows to scale.
    """
    by_id = {one.round: one for one in answer.rounds}
    return tuple(
        view(one, side)
        for one in (by_id[id_] for id_ in inputs.rounds)
        if one.latest and any(mark.place_mm for mark in one.landmarks)
        for side in (False, True)
    )


def view(one: RoundAnswer, side: bool) -> Drawing:  # noqa: FBT001
    """One round from the front, or from its left side.

    Parameters
    ----------
    one
        A round with landmarks.
    side
        From the side: only what lies in the middle or on the left.

    Raises
    ------
    ValueError
        If no landmark has a place.

    Source
    ------
    Regions are those of one landmark by itself at 95 %, in the plane of the drawing.
    """
    axes = SIDE if side else FRONT
    shown = [m for m in one.landmarks if m.place_mm and not (side and m.side == "right")]
    places = {mark.key: _flat(mark, axes) for mark in shown}
    marks: list[DrawingMark] = [
        Polyline(tuple(places[key] for key in chain), Tone.FAINT, width=1.5)
        for chain in CHAINS
        if all(key in places for key in chain)
    ]
    for mark in shown:
        marks += _marks(mark, places[mark.key], axes, region_mm(one.freedom))
    wide = [place[0] for place in places.values()]
    high = [place[1] for place in places.values()]
    seen = "from its left" if side else "from the front"
    return Drawing(
        title=f"{one.name}, {seen}",
        summary=_summary(one.name, seen, shown, axes),
        low=(min(wide) - MARGIN_MM, min(high) - MARGIN_MM),
        high=(max(wide) + MARGIN_MM, max(high) + MARGIN_MM),
        scale_bar_mm=SCALE_BAR_MM,
        marks=tuple(marks),
        caption="Arrows go from the sculpt to the person; each oval holds the person's place 95 "
        "times in 100 by the stills alone. Faint places are unseen, or not located in a direction.",
    )


def _flat(mark: LandmarkAnswer, axes: tuple[tuple[int, float], ...]) -> tuple[float, float]:
    place = mark.place_mm or (0.0, 0.0, 0.0)
    (a, s), (b, t) = axes
    return s * place[a], t * place[b]


def region_mm(freedom: float) -> float:
    """Half width of a 95 % region in a plane, in standard deviations of an estimated noise.

    Parameters
    ----------
    freedom
        Degrees of freedom of the noise; zero where nothing was estimated.

    Raises
    ------
    ValueError
        If it is not a number.

    Source
    ------
    Hotelling's region in two directions: the root of 2 F(0.95; 2, freedom).
    """
    return sqrt(region_squared(2, freedom, LEVEL)) if freedom > 0 else 0.0


def _marks(
    mark: LandmarkAnswer,
    at: tuple[float, float],
    axes: tuple[tuple[int, float], ...],
    region: float,
) -> list[DrawingMark]:
    """A landmark's place, its correction and its region, as far as they are known."""
    fails = mark.verdict is Verdict.FAILS
    tone = Tone.TROUBLE if fails else Tone.INK
    if mark.correction_mm is None or mark.covariance_mm2 is None or mark.off_mm is None:
        return [Point(*at, Tone.FAINT, radius=2.0)]
    (a, s), (b, t) = axes
    off = off_in_seen(mark)
    end = (at[0] + s * off[a], at[1] + t * off[b])
    shown = off_by_stills(mark)
    middle = (at[0] + s * shown[a], at[1] + t * shown[b])
    drawn: list[DrawingMark] = []
    half, turn = _oval(mark.covariance_mm2, axes, region)
    if half[0] <= MOST_MM and not mark.blind:
        drawn.append(Ellipse(middle, half, turn, Tone.TROUBLE if fails else Tone.FAINT))
    drawn.append(Point(*at, Tone.SOFT if mark.blind else tone, radius=2.0))
    if fails:
        drawn.append(Arrow(at, end, tone, mark.name))
    elif not mark.blind:
        drawn.append(Polyline((at, end), Tone.SOFT, width=1.0))
    return drawn


def _oval(
    covariance: Matrix, axes: tuple[tuple[int, float], ...], region: float
) -> tuple[tuple[float, float], float]:
    """Half axes, larger first, and turn of the 95 % region in the plane of a view."""
    (a, s), (b, t) = axes
    xx, yy, xy = covariance[a][a], covariance[b][b], s * t * covariance[a][b]
    middle, spread = (xx + yy) / 2, sqrt(((xx - yy) / 2) ** 2 + xy**2)
    large, small = sqrt(max(middle + spread, 0.0)), sqrt(max(middle - spread, 0.0))
    return (region * large, region * small), atan2(2 * xy, xx - yy) / 2


def _summary(
    name: str, seen: str, shown: list[LandmarkAnswer], axes: tuple[tuple[int, float], ...]
) -> str:
    """The same in words: what fails and by how much in the plane of the view."""
    (a, _), (b, _) = axes
    words = []
    for mark in shown:
        if mark.verdict is Verdict.FAILS and mark.correction_mm is not None:
            off = off_in_seen(mark)
            words.append(f"{mark.name} {sqrt(off[a] ** 2 + off[b] ** 2):.2f} mm")
    counts = {v: sum(m.verdict is v for m in shown) for v in Verdict}
    told = ", ".join(f"{count} {verdict.value}" for verdict, count in counts.items() if count)
    off_by = f" Off in this view: {'; '.join(words)}." if words else ""
    return f"Landmarks of {name} {seen}: {told}.{off_by}"
