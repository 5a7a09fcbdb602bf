"""The page of one round's sculpt: in space, with its landmarks to be placed."""

from collections.abc import Iterator
from hashlib import sha256

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Sentence
from sixwright.line.landmark_places import drawn_places
from sixwright.line.likeness import Round
from sixwright.line.meshes import MeshRef
from sixwright.project.model import Project
from sixwright.reports.document import Answer, Block, Document, Link, Paragraph
from sixwright.reports.placing import LandmarkPoint, Placing, Turning
from sixwright.topics.likeness.pictures import CHAINS
from sixwright.topics.likeness.rules import PLACE
from sixwright.workflows.placing import ToPlace, round_before, to_place
from sixwright.workflows.reviewed import Review

TOPIC = "sculpts"
ENOUGH = 12  # landmarks on a sculpt: own choice, as on a still
LIST = Link(TOPIC, "", "All rounds")
ROWS = Link("tables/rounds", "", "The table of rounds")
HEAD = Link("likeness", "", "What the stills say of the head")
SAID = {"placed": "placed", "carried": "carried and looked at", "confirmed": "confirmed"}
CARRIED = Sentence(
    "Places that are carried come from the round before: look at each before you accept it."
)
# Of the small drawing: the head of nobody from the front, and from its left beside it.
HEIGHT, SHIFT = 120.0, 190.0


def sculpt_page(review: Review, round_: str, content: str, fault: str) -> Document:
    """One round's sculpt, with its landmarks to be placed.

    Parameters
    ----------
    content
        Checksum of its file; empty where it cannot be used.
    fault
        Why it cannot be, in a sentence.

    Raises
    ------
    KeyError
        If there is no such round.
    """
    project = review.project
    one = project.rounds[round_]
    name = named(one)
    if not content:
        why = Sentence("No landmark can be placed on it. {fault}", {
            "fault": fault if one.mesh else "Its row names no file."})  # fmt: skip
        blocks: list[Block] = [Answer(None, (why,)), Paragraph((), (ROWS, LIST))]
        return Document(TOPIC, f"Where are the landmarks on {name}?", tuple(blocks), project.locale)
    found = version_of(ref_of(one), content)
    points = to_place(project, round_)
    before = round_before(project, round_)
    lines, dots = _drawing()
    placing = Placing(
        Turning(round_, name, found),
        tuple(_point(each) for each in points),
        "" if before is None else _placed_on(project, before),
        lines,
        dots,
    )
    notes = (CARRIED,) if before is not None else ()
    blocks = [
        Answer(None, (*_told(project, points, before), *_far(review, round_))),
        placing,
        Paragraph(notes, (LIST, HEAD)),
    ]
    return Document(TOPIC, f"Where are the landmarks on {name}?", tuple(blocks), project.locale)


def named(one: Round) -> str:
    """A round in words."""
    return f"{one.sculpt}, round {one.number}" if one.number else one.id


def _placed_on(project: Project, before: Round) -> str:
    """Names the landmarks of a round as they are placed: others, or elsewhere, have another."""
    rows = [row for row in project.placements if row.round == before.id]
    places = sorted((row.landmark, row.side, str(row.place_mm)) for row in rows)
    return sha256(repr((before.id, ref_of(before), places)).encode()).hexdigest()[:16]


def ref_of(one: Round) -> MeshRef:
    """The mesh that a round names."""
    return MeshRef(one.mesh or "", one.sha256, one.unit, one.up, one.front)


def version_of(ref: MeshRef, content: str) -> str:
    """Names a mesh as it is read: another file, unit or attitude has another."""
    return sha256(repr((content, ref)).encode()).hexdigest()[:16]


def _told(
    project: Project, points: tuple[ToPlace, ...], before: Round | None
) -> Iterator[Sentence]:
    placed = sum(each.row is not None and each.row.place_mm is not None for each in points)
    count = Count(placed, "landmark lies", "landmarks lie")
    if placed:
        yield Sentence("{count} on this sculpt.", {"count": count})
    else:
        yield Sentence("No landmark lies on this sculpt yet; twelve are enough.")
    if 0 < placed < ENOUGH:
        more = Count(ENOUGH - placed, "more makes twelve", "more make twelve")
        yield Sentence("{count}, which is enough.", {"count": more})
    if before is not None and placed < len(points):
        yield Sentence(
            "Where a landmark of {before} would lie here is shown as a dashed cross.",
            {"before": Name(named(before))},
        )
    shown = [still for still in project.stills.values() if still.person]
    if not project.stills:
        yield Sentence("There are no stills to compare it with yet.")
    elif not shown:
        yield Sentence("No still says yet whom it shows, so nothing can be compared.")


def _far(review: Review, round_: str) -> Iterator[Sentence]:
    """What was placed far from where a head has it."""
    for finding in review.findings:
        is_place = (finding.topic, finding.rule) == (PLACE.topic, PLACE.id)
        if is_place and finding.subject.id == round_ and finding.verdict is not Verdict.HOLDS:
            yield finding.message


def _point(each: ToPlace) -> LandmarkPoint:
    row = each.row
    place = "" if row is None or row.place_mm is None else _three(row.place_mm)
    how = row.how if row is not None and place else ""
    name = each.name[:1].upper() + each.name[1:]
    outward = "" if each.outward is None else _three(each.outward)
    said = SAID.get(how, "not placed")
    return LandmarkPoint(each.key, name, each.meaning, how, said, place, outward, each.stands)


def _three(values: tuple[float, float, float]) -> str:
    return " ".join(f"{value:.4f}" for value in values)


def _drawing() -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str, str, str], ...]]:
    """Lines and dots of the small drawing: front, and left side."""
    places = drawn_places()
    lines, dots = [], []
    for view, axis, shift in (("front", 0, 0.0), ("side", 2, SHIFT)):
        for chain in CHAINS:
            if all(key in places for key in chain) and not (view == "side" and _right(chain)):
                path = "L".join(f"{places[k][axis] + shift:.0f} {HEIGHT - places[k][1]:.0f}"
                                for k in chain)  # fmt: skip
                lines.append((view, f"M{path}"))
        for (id_, side), place in places.items():
            across = place[axis] + shift
            dots.append((f"{id_}/{side}", view, f"{across:.0f}", f"{HEIGHT - place[1]:.0f}"))
    return tuple(lines), tuple(dots)


def _right(chain: tuple[tuple[str, str], ...]) -> bool:
    return any(side == "right" for _, side in chain)
