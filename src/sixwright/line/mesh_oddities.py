"""What is odd about a mesh that can be used, each said in one sentence with what to do."""

from dataclasses import dataclass
from math import dist, log

from sixwright.kernel.sentences import Count, Measure, Sentence, Share, Value
from sixwright.line.head_shape import Fits
from sixwright.line.mesh_guess import HEAD, HEAD_WITHIN_MM, SURE_UP, Meant, mm_of_shape
from sixwright.line.meshes import UNIT_WORDS, UNITS_MM, MeshReading, MeshRef, Odd, Oddity
from sixwright.numerics.mesh.survey import Piece, Survey

# A head that is larger or smaller than this is not only another person's.
SIZE_MOST = 1.35
LEAST_SHARE = 0.001  # that is worth a number
_FACTORS = (
    (6.0, "it seems to be modelled at full size"),
    (25.4, "inches seem to be taken for millimetres, or converted twice"),
    (10.0, "its centimetres or millimetres seem to be taken for each other"),
    (2.54, "its inches and centimetres seem to be taken for each other"),
    (1000.0, "its metres and millimetres seem to be taken for each other"),
    (100.0, "its metres and centimetres seem to be taken for each other"),
)
_LIKE = log(1.2)


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What was met while a file was read.

    Attributes
    ----------
    format
        STL, OBJ, PLY, GLB or 3MF, by its content.
    triangles
        That were read.
    promised
        Triangles that a header states, where they are not those read.
    left_over
        Bytes after the last triangle that nothing accounts for.
    collapsed
        Triangles two of whose corners lie on one place; they were left out.
    unused
        Vertices that no triangle has; they were left out.
    """

    format: str
    triangles: int
    promised: int | None = None
    left_over: int = 0
    collapsed: int = 0
    unused: int = 0


@dataclass(frozen=True, slots=True)
class Known:
    """All that oddities are told from."""

    ref: MeshRef
    sha256: str
    facts: FileFacts
    survey: Survey
    reading: MeshReading
    fits: Fits
    meant: Meant = HEAD


def oddities_of(known: Known) -> tuple[Oddity, ...]:
    """What is odd, in the order in which a producer would want to know.

    Source
    ------
    Own choice: decisions/0011, with each limit.
    """
    told = (
        _changed(known), _named(known), _header(known), _size(known), _attitude(known),
        _two(known), _twice(known), _inside_out(known), _open(known), _turned(known),
        _crowded(known), _no_area(known), _stray(known), _unused(known), _coarse(known),
    )  # fmt: skip
    return tuple(oddity for oddity in told if oddity is not None)


def _changed(known: Known) -> Oddity | None:
    stated = (known.ref.sha256 or "").strip().lower()
    if not stated or stated == known.sha256:
        return None
    sentence = Sentence(
        "the file is not the one that was recorded: its checksum begins {found}, the recorded "
        "one {stated}",
        {"found": known.sha256[:8], "stated": stated[:8]},
    )
    remedy = Sentence("See which of the two is the round, and record that one")
    return Oddity(Odd.CHANGED, sentence, 1.0, remedy)


def _named(known: Known) -> Oddity | None:
    ending = known.ref.path.rsplit(".", maxsplit=1)[-1].upper()
    if ending == known.facts.format or ending not in {"STL", "OBJ", "PLY", "GLB", "3MF"}:
        return None
    sentence = Sentence(
        "its name says {named}, its content is {format}; it was read as what it is",
        {"named": ending, "format": known.facts.format},
    )
    remedy = Sentence("Rename it, so that other programs open it too")
    return Oddity(Odd.NAMED, sentence, 1.0, remedy)


def _header(known: Known) -> Oddity | None:
    facts = known.facts
    remedy = Sentence("Ask the sculptor whether the export is complete")
    read = Count(facts.triangles, "triangle", "triangles")
    if facts.promised is not None:
        sentence = Sentence(
            "its header counts {promised}, the file holds {read}; all of these were read",
            {"promised": Count(facts.promised, "triangle", "triangles"), "read": read},
        )
        return Oddity(Odd.HEADER, sentence, float(facts.triangles - facts.promised), remedy)
    if facts.left_over:
        sentence = Sentence(
            "after the {read} that its header counts, {left} more follow; they were not read",
            {"left": Count(facts.left_over, "byte", "bytes"), "read": read},
        )
        return Oddity(Odd.HEADER, sentence, float(facts.left_over), remedy)
    return None


def _size(known: Known) -> Oddity | None:
    """Compared with what it is meant to be, in the unit that it was read by."""
    unit = UNITS_MM[known.reading.unit.value]
    ways = tuple(w for w in known.fits.ways if w.off_mm <= HEAD_WITHIN_MM)
    shape = mm_of_shape(ways) if known.meant.head else None
    largest = known.survey.largest_side * unit
    if shape is not None:
        factor, most = unit / shape, SIZE_MOST
    elif known.meant.largest_mm and largest:
        # A box alone says less: hair, a neck or a pose may double it.
        factor, most = largest / known.meant.largest_mm, 2.5
    else:
        return None
    if abs(log(factor)) <= log(most):
        return None
    times, words = (factor, "large") if factor > 1 else (1 / factor, "small")
    cause = next((f"; {why}" for of, why in _FACTORS if abs(log(times / of)) <= _LIKE), "")
    if factor < 1 and cause == f"; {_FACTORS[0][1]}":
        cause = "; it seems to have been scaled to 1:6 twice"
    sentence = Sentence(
        "read in {unit} it is about {times} times as " + words + " as {what} should be (its "
        "longest side is {largest}); it was not scaled" + cause,
        {
            "unit": UNIT_WORDS[known.reading.unit.value],
            "times": Measure(times, "", 1),
            "what": known.meant.what,
            "largest": Measure(largest, "mm", 1),
        },
    )
    remedy = Sentence("Ask in which unit and at which scale it was exported, and fill in the unit")
    return Oddity(Odd.SIZE, sentence, factor, remedy)


def _attitude(known: Known) -> Oddity | None:
    """The row's axes against the head's shape."""
    up, front = known.reading.up, known.reading.front
    ways = known.fits.ways
    if not known.meant.head or not ways or ways[0].off_mm > HEAD_WITHIN_MM:
        return None
    best = ways[0]
    here = next((w for w in ways if (w.up, w.front) == (up.value, front.value)), None)
    if here is None or here.off_mm / best.off_mm < SURE_UP:
        return None
    sentence = Sentence(
        "read with {up} up and {front} to the front it does not have the shape of a head; with "
        "{best_up} up and {best_front} to the front it does",
        {
            "up": up.value,
            "front": front.value,
            "best_up": best.up,
            "best_front": best.front,
        },
    )
    remedy = Sentence("Look at it, and correct up and front of its row")
    return Oddity(Odd.ATTITUDE, sentence, here.off_mm / best.off_mm, remedy)


def _diagonal(piece: Piece) -> float:
    return dist(piece.low, piece.high)


def _overlap(one: Piece, other: Piece) -> float:
    """Share of the smaller box that lies in the other."""
    shared = own = others = 1.0
    for axis in range(3):
        low = max(one.low[axis], other.low[axis])
        high = min(one.high[axis], other.high[axis])
        shared *= max(high - low, 0.0)
        own *= one.high[axis] - one.low[axis]
        others *= other.high[axis] - other.low[axis]
    smaller = min(own, others)
    return shared / smaller if smaller > 0 else 0.0


def _two(known: Known) -> Oddity | None:
    pieces = known.survey.pieces
    if not pieces:
        return None
    first = pieces[0]
    # Where neighbours do not share their corners every triangle is a piece: those are no bodies.
    bodies = [p for p in pieces if p.open_edges < p.faces / 5]
    large = [p for p in bodies if _diagonal(p) >= 0.6 * _diagonal(first)]
    apart = [p for p in large[1:] if all(_overlap(p, q) < 0.1 for q in large if q is not p)]
    if not apart:
        return None
    sentence = Sentence(
        "it holds {pieces} of much the same size, side by side: more than one head, or a test of "
        "several",
        {"pieces": Count(len(apart) + 1, "body", "bodies")},
    )
    remedy = Sentence("Ask for one file a head; sizes and landmarks are of both together now")
    return Oddity(Odd.TWO, sentence, float(len(apart) + 1), remedy)


def _faces(count: int) -> Count:
    return Count(count, "triangle", "triangles")


def _twice(known: Known) -> Oddity | None:
    count = known.survey.repeated
    if not count:
        return None
    share = count / known.survey.faces
    sentence = Sentence(
        "{count} ({share} of all) are in it more than once, on the very same places",
        {"count": _faces(count), "share": Share(share)},
    )
    remedy = Sentence("Ask for an export without doubled surfaces: volume and mass count them")
    return Oddity(Odd.TWICE, sentence, float(count), remedy)


def _inside_out(known: Known) -> Oddity | None:
    survey = known.survey
    if survey.volume >= 0 or survey.open_edges > survey.edges / 50:
        return None
    sentence = Sentence("it is inside out: its triangles look inward")
    remedy = Sentence("Ask for an export with its normals turned outward")
    return Oddity(Odd.INSIDE_OUT, sentence, float(survey.faces), remedy)


def _open(known: Known) -> Oddity | None:
    survey, unit = known.survey, UNITS_MM[known.reading.unit.value]
    if not survey.open_edges:
        return None
    if survey.open_edges > survey.edges / 5:
        sentence = Sentence(
            "{share} of its edges belong to one triangle alone: neighbours do not share their "
            "corners",
            {"share": Share(survey.open_edges / survey.edges, 0)},
        )
        remedy = Sentence("Ask for an export with merged vertices")
        return Oddity(Odd.OPEN, sentence, float(survey.open_edges), remedy)
    sentence = Sentence(
        "it is open at {rims}; the longest rim is {length} around",
        {
            "rims": Count(survey.rim_count, "place", "places"),
            "length": Measure(survey.rims[0].length * unit, "mm", 1),
        },
    )
    remedy = Sentence("Where it is to be printed or weighed, ask for a closed one")
    return Oddity(Odd.OPEN, sentence, float(survey.rim_count), remedy)


def _turned(known: Known) -> Oddity | None:
    count = known.survey.turned_edges
    if not count:
        return None
    sentence = Sentence(
        "along {count} two triangles disagree which side is outside",
        {"count": Count(count, "edge", "edges")},
    )
    remedy = Sentence("Ask for an export with all normals outward")
    return Oddity(Odd.TURNED, sentence, float(count), remedy)


def _crowded(known: Known) -> Oddity | None:
    count = known.survey.crowded_edges
    if not count:
        return None
    sentence = Sentence(
        "at {count} more than two triangles meet: surfaces touch or pass through each other",
        {"count": Count(count, "edge", "edges")},
    )
    remedy = Sentence("Where it is to be printed, ask for one joined surface")
    return Oddity(Odd.CROWDED, sentence, float(count), remedy)


def _no_area(known: Known) -> Oddity | None:
    collapsed, flat = known.facts.collapsed, known.survey.no_area
    if not collapsed + flat:
        return None
    share = (collapsed + flat) / max(known.facts.triangles, 1)
    text = (
        "{count} ({share} of all) have no area" if share >= LEAST_SHARE else "{count} have no area"
    )
    if collapsed:
        left = "{collapsed} of them were" if flat else "they were"
        text += f"; {left} left out, because two of their corners lie on one place"
    values: dict[str, Value] = {
        "count": _faces(collapsed + flat),
        "share": Share(share),
        "collapsed": Count(collapsed),
    }
    sentence = Sentence(text, {name: v for name, v in values.items() if f"{{{name}}}" in text})
    remedy = Sentence("A few do no harm; where they are many, ask for a new export")
    return Oddity(Odd.NO_AREA, sentence, float(collapsed + flat), remedy)


def _stray(known: Known) -> Oddity | None:
    survey = known.survey
    if not survey.small_pieces:
        return None
    # Of nothing but loose triangles the largest is no body that others lie beside.
    if survey.pieces[0].open_edges > survey.pieces[0].faces / 5:
        return None
    sentence = Sentence(
        "{pieces} ({faces}) lie beside the large one, each of less than a thousandth of its area",
        {
            "pieces": Count(survey.small_pieces, "loose piece", "loose pieces"),
            "faces": _faces(survey.small_faces),
        },
    )
    remedy = Sentence("Look whether they are meant; what is left of a cut is best removed")
    return Oddity(Odd.STRAY, sentence, float(survey.small_pieces), remedy)


def _unused(known: Known) -> Oddity | None:
    count = known.facts.unused
    if not count:
        return None
    sentence = Sentence(
        "{count} of no triangle were left out", {"count": Count(count, "point", "points")}
    )
    remedy = Sentence("Nothing, where they are few; many may be a surface that was not exported")
    return Oddity(Odd.UNUSED, sentence, float(count), remedy)


def _coarse(known: Known) -> Oddity | None:
    """How finely float32 numbers can state a place so far from the origin."""
    survey, unit = known.survey, UNITS_MM[known.reading.unit.value]
    step = survey.far * 2.0**-24
    if not survey.single or step <= survey.largest_side * 1e-5:
        return None
    sentence = Sentence(
        "it lies so far from the origin that its places are only exact to {step}",
        {"step": Measure(step * unit, "mm", 4)},
    )
    remedy = Sentence("Ask for an export near the origin")
    return Oddity(Odd.COARSE, sentence, step * unit, remedy)
