"""The list of stills: which to mark next, and how far each is marked."""

from sixwright.kernel.sentences import Count, Measure, Name, Sentence, Share, Value
from sixwright.project.model import Project
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    CellAddress,
    Column,
    Document,
    Link,
    Paragraph,
    Row,
    Table,
)
from sixwright.reports.marking import StillDrop
from sixwright.topics.likeness.further.model import Viewpoint
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.rank_stills import ENOUGH, RankedStill, ranked_stills
from sixwright.workflows.reviewed import Review

TOPIC = "stills"
QUESTION = "What do the stills show?"
ROWS = Link("tables/stills", "", "The table of stills")
HEAD = Link("likeness", "", "What they say of the head")
HOW = (
    Sentence("The still to mark next stands first."),
    Sentence(
        "Before six landmarks are marked, that is the one with the most detail: its shorter side "
        "over the blur of its sharpest part."
    ),
    Sentence("After that, by how much a further still from its side would cut the uncertainty."),
)


def stills(review: Review) -> Document:
    """The list of stills, the one to mark next first, and where stills are brought in."""
    project = review.project
    ranked = ranked_stills(project, review.get(LIKENESS))
    columns = (
        Column("Still"),
        Column("Person"),
        Column("Marked", numeric=True, unit="landmarks"),
        Column("Blur", numeric=True, unit="px"),
        Column("Detail", numeric=True, unit="blurs across"),
        Column("Taken from"),
        Column("One more from there", numeric=True, unit="cuts by"),
        Column("May be published"),
        Column("Size", numeric=True, unit="px"),
    )
    blocks: list[Block] = [Answer(None, (_told(ranked),)), StillDrop(_persons(project))]
    if ranked:
        rows = tuple(_listed(one) for one in ranked)
        blocks.append(Table("The stills", columns, rows, HOW))
    blocks.append(Paragraph((Sentence("What else is known of a still stands in its row."),),
                            (ROWS, HEAD)))  # fmt: skip
    return Document(TOPIC, QUESTION, tuple(blocks), project.locale)


def _told(ranked: tuple[RankedStill, ...]) -> Sentence:
    if not ranked:
        return Sentence("There are no stills yet.")
    first = ranked[0]
    if first.is_done:
        if any(one.seen < ENOUGH for one in ranked):
            return Sentence("On each still, twelve landmarks or all that can be seen are marked.")
        return Sentence("Each still has twelve landmarks or more, which is enough.")
    values: dict[str, Value] = {"still": Name(first.still.id)}
    return Sentence("Mark {still} next; twelve landmarks on each still are enough.", values)


def _persons(project: Project) -> tuple[str, ...]:
    """Whom a still may show: those whom sculpts depict, then those of the stills there are."""
    depicted = [sculpt.person for sculpt in project.sculpts.values()]
    shown = [still.person for still in project.stills.values()]
    return tuple(dict.fromkeys(person for person in (*depicted, *shown) if person))


def _listed(one: RankedStill) -> Row:
    still = one.still
    wide, high = (None if size is None else int(size) for size in (still.width_px, still.height_px))
    sizes: dict[str, Value] = {"wide": Count(wide or 0), "high": Count(high or 0)}
    cells = (
        Cell(still.id, link=Link(f"{TOPIC}/{still.id}", "", still.id), detail=still.file),
        Cell(still.person, place=CellAddress("stills", still.id, "person")),
        Cell(Count(one.seen)),
        Cell(None if one.blur_px is None else Measure(one.blur_px, "", 1)),
        Cell(None if one.detail_px is None else Count(round(one.detail_px))),
        Cell(nothing=True) if one.side is None else Cell(_from(one.side)),
        Cell(nothing=True) if one.side is None else Cell(Share(one.side.gain, 0)),
        Cell(
            "yes" if still.may_publish else "no",
            place=CellAddress("stills", still.id, "may_publish"),
        ),
        Cell(Sentence("{wide} × {high}", sizes) if wide and high else None),
    )
    return Row(cells)


def _from(view: Viewpoint) -> Sentence:
    """Where the camera stood, to the nearest of the viewpoints that are tried."""
    height = {True: ", from above", False: ", from below"}
    tail = height[view.pitch_deg > 0] if view.pitch_deg else ""
    if not view.yaw_deg:
        return Sentence(f"straight ahead{tail}")
    side = "left" if view.yaw_deg > 0 else "right"
    turned: dict[str, Value] = {"turned": Measure(abs(view.yaw_deg), "°", 0)}
    return Sentence(f"{{turned}} to its {side}{tail}", turned)
