"""The pages of sculpts: which heads there are, their files, and where landmarks lie on them."""

from sixwright.kernel.sentences import Count, Name, Sentence
from sixwright.project.model import Project
from sixwright.reports.delivered import DeliveredMesh, FileDrop
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
from sixwright.reports.pages.arriving import arriving, persons
from sixwright.workflows.reviewed import Review

TOPIC = "sculpts"
QUESTION = "What has the sculptor delivered?"
ROWS = Link("tables/rounds", "", "The table of rounds")
STILLS = Link("stills", "", "The stills")
LIKENESS = Link("likeness", "", "What the stills say of them")


def sculpts(review: Review, arrivals: tuple[DeliveredMesh, ...] = ()) -> Document:
    """The list of heads with their rounds, and the meshes that wait to be kept."""
    project = review.project
    blocks: list[Block] = [Answer(None, _told(project, arrivals))]
    blocks += [*(arriving(each, project) for each in arrivals), FileDrop(persons(project))]
    columns = (
        Column("Round"),
        Column("Person"),
        Column("File", wide=True),
        Column("Landmarks", numeric=True),
        Column("Came on"),
    )
    rows = tuple(_listed(project, round_) for round_ in project.rounds)
    if rows:
        blocks.append(Table("Rounds", columns, rows))
    blocks.append(Paragraph((Sentence("How each file was read stands with its likeness."),),
                            (LIKENESS, ROWS, STILLS)))  # fmt: skip
    return Document(TOPIC, QUESTION, tuple(blocks), project.locale)


def _told(project: Project, arrivals: tuple[DeliveredMesh, ...]) -> tuple[Sentence, ...]:
    waits = [each for each in arrivals if not each.fault]
    if waits:
        if len(waits) == 1:
            text = "{name} waits: look whether it stands upright and is as high as it should be."
            return (Sentence(text, {"name": Name(waits[0].name)}),)
        count = Count(len(waits), "mesh waits", "meshes wait")
        text = "{count}: look whether each stands upright and is as high as it should be."
        return (Sentence(text, {"count": count}),)
    with_file = [one for one in project.rounds.values() if one.mesh]
    if not with_file:
        return (Sentence("No mesh yet: drop the sculptor’s file below."),)
    placed = {row.round for row in project.placements}
    bare = sum(one.id not in placed for one in with_file)
    count = Count(len(with_file), "round has its file", "rounds have their file")
    if bare == len(with_file):
        which = "it to mark it" if bare == 1 else "one to mark it"
        return (Sentence(f"{{count}} and no landmarks yet. Click {which}.", {"count": count}),)
    if bare:
        left = Count(bare, "of them has no landmarks yet", "of them have no landmarks yet")
        return (Sentence("{count}; {left}. Click one to mark it.", {"count": count, "left": left}),)
    return (Sentence("{count}, and landmarks.", {"count": count}),)


def _listed(project: Project, round_: str) -> Row:
    one = project.rounds[round_]
    sculpt = project.sculpts.get(one.sculpt)
    placed = sum(row.round == round_ and row.place_mm is not None for row in project.placements)
    name = f"{one.sculpt}, round {one.number}" if one.number else round_
    link = Link(f"{TOPIC}/{round_}", "", name) if one.mesh else None
    cells = (
        Cell(name, link=link),
        Cell(sculpt.person if sculpt else None, place=CellAddress("sculpts", one.sculpt, "person")),
        Cell(one.mesh, place=CellAddress("rounds", round_, "mesh")),
        Cell(Count(placed)),
        Cell(one.date, place=CellAddress("rounds", round_, "date")),
    )
    return Row(cells)
