"""The buyer's sheet: what is in each edition, for the public.

It holds names, looks, prices and pieces; no ids, costs, makers, notes, orders or findings. Counts
are what lies in the boxes, whatever was announced.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sixwright.kernel.currency import Money
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.line.boxes import Part, Sold
from sixwright.project.model import Project
from sixwright.reports.document import (
    Block,
    Cell,
    Column,
    Document,
    Heading,
    Paragraph,
    Row,
    Table,
)
from sixwright.reports.wording.box_differences import differences, pieces
from sixwright.reports.wording.words import SPACE, bare, joined
from sixwright.topics.care.cautions import for_boxes, hazards_of_box, not_stated
from sixwright.topics.lineup.model import Answer as Boxes

TITLE = "What is in each edition"
# In the order in which a buyer looks; packing is left out.
SECTIONS = (
    ("The figure", ("body", "head", "hand")),
    ("What it wears", ("garment", "shoe", "mask")),
    ("What it carries", ("prop", "metal")),
    ("What it stands on", ("base", "stand", "light")),
    ("To join them", ("joint",)),
)
UNNAMED = {
    "head": "Head", "hand": "Hand", "body": "Body", "garment": "Garment", "shoe": "Shoe",
    "prop": "Prop", "metal": "Metal piece", "mask": "Mask", "joint": "Joint", "base": "Base",
    "light": "Light", "stand": "Stand",
}  # fmt: skip
# The pieces of a group are named where it has no more kinds of them than this.
NAMED = 6


@dataclass(frozen=True, slots=True)
class ListedPiece:
    """What the public counts as one thing: a part of its own, or all parts of one group."""

    name: str
    parts: tuple[Part, ...]
    grouped: bool


def buyers_sheet(project: Project, boxes: Boxes) -> Document:
    """The sheet, in the blocks that pages and reports are made of.

    Parameters
    ----------
    project
        The line.
    boxes
        What is in each box.
    """
    blocks: list[Block] = [Paragraph((_lead(project),)), _table(project, boxes)]
    cautions = tuple(_cautions(project, boxes))
    if cautions:
        blocks += [Heading("Cautions"), *cautions]
    compared = [Paragraph(said) for said in _compared(project, boxes) if said]
    if compared:
        blocks += [Heading("How they compare"), *compared]
    return Document("contents", project.name, tuple(blocks), project.locale)


def _cautions(project: Project, boxes: Boxes) -> Iterator[Paragraph]:
    """What can hurt, boxes with the same hazards together; no box is called safe."""
    hazards = {
        sells: hazards_of_box(project.parts, boxes.contents.get(sells, {}))
        for sells in project.sells
    }
    for alike, said in for_boxes(hazards):
        names = Names(tuple(public_name(project, sells) for sells in alike))
        lead = Sentence("{boxes}:", {"boxes": names})
        if len(alike) == len(hazards) > 1:
            lead = Sentence("Every box:")
        yield Paragraph((lead, *said))
    open_ = [sells for sells in project.sells
             if not_stated(project.parts, boxes.contents.get(sells, {}))]  # fmt: skip
    if open_:
        names = Names(tuple(public_name(project, sells) for sells in open_))
        told = Sentence(
            "Not every part of {boxes} has been looked at yet; there may be more to take care of.",
            {"boxes": names},
        )
        yield Paragraph((told,))


def public_name(project: Project, sells: str) -> str:
    """The name of an edition or set; one without a name gets its place in the list, not its id."""
    sold = project.sells[sells]
    alike = [each.id for each in project.sells.values() if each.is_set == sold.is_set]
    return sold.own_name or f"{'Set' if sold.is_set else 'Edition'} {alike.index(sells) + 1}"


def part_name(part: Part) -> str:
    """The name of a part, or its kind; never its id."""
    return part.own_name or UNNAMED.get(part.kind, "Piece")


def is_public(part: Part) -> bool:
    """Whether a buyer counts the part: not the packing."""
    return any(part.kind in kinds for _, kinds in SECTIONS)


def _lead(project: Project) -> Sentence:
    sets = sum(sold.is_set for sold in project.sells.values())
    editions = Count(len(project.sells) - sets, "edition", "editions")
    values: dict[str, Value] = {"scale": f"1:{project.scale}", "editions": editions}
    if not sets:
        return Sentence("At {scale}, in {editions}.", values)
    values["sets"] = Count(sets, "set", "sets")
    return Sentence("At {scale}, in {editions} and {sets}.", values)


def _table(project: Project, boxes: Boxes) -> Table:
    columns = (
        Column("In the box"),
        *(Column(public_name(project, sells), numeric=True) for sells in project.sells),
    )
    rows: list[Row] = list(_what_is_sold(project))
    for section, kinds in SECTIONS:
        lines = [_line_row(project, boxes, line) for line in _lines(project, boxes, kinds)]
        if lines:
            rows += [Row((Cell(section),), kind="group"), *lines]
    caption = [Sentence("Counted in pieces, in one box, without the packing; · is none.")]
    if any(boxes.optional.values()):
        caption.append(Sentence("Optional pieces are in the counts."))
    return Table(TITLE, columns, tuple(rows), tuple(caption), even=True)


def _what_is_sold(project: Project) -> Iterator[Row]:
    """Above the pieces: the look, the price and the figures of each."""
    sold = project.sells.values()
    if project.looks:
        yield Row((Cell("Look"), *(_look(project, each) for each in sold)))
    if any(each.price is not None for each in sold):
        yield Row((Cell(f"Price, {project.currency}"), *(_price(project, each) for each in sold)))
    if all(each.figures is not None for each in sold):
        yield Row((Cell("Figures"), *(Cell(each.figures) for each in sold)))


def _look(project: Project, sold: Sold) -> Cell:
    """Its look, or the looks of the editions in a set."""
    ids = [project.sells[each].look for each in sold.editions] if sold.is_set else [sold.look]
    names = dict.fromkeys(project.looks[id_].name for id_ in ids if id_ and id_ in project.looks)
    said = tuple(name for name in names if name)
    return Cell(joined(said) if said else None, nothing=not said)


def _price(project: Project, sold: Sold) -> Cell:
    if sold.price is None:
        return Cell("not announced")
    whole = sold.price.amount.denominator == 1
    price = Money(sold.price.amount, project.currency)
    return Cell(bare(price, project.locale, digits=0 if whole else None), strong=True)


def _lines(project: Project, boxes: Boxes, kinds: Sequence[str]) -> Iterator[ListedPiece]:
    """What some box holds of these kinds, kind by kind; a group stands where its first part is.

    Parts of one kind and name are one thing to a buyer, as a left and a right “Open hand” are.
    """
    found: dict[str, list[Part]] = {}
    held = {part for contents in boxes.contents.values() for part in contents}
    for kind in kinds:
        for part in project.parts.values():
            if part.kind == kind and part.id in held:
                own = f"{kind} {part_name(part)}"
                found.setdefault(f"group {part.group}" if part.group else own, []).append(part)
    for parts in found.values():
        group = parts[0].group
        yield ListedPiece(
            group[:1].upper() + group[1:] if group else part_name(parts[0]),
            tuple(parts),
            grouped=group is not None,
        )


def _line_row(project: Project, boxes: Boxes, line: ListedPiece) -> Row:
    return Row((Cell(line.name), *(_pieces(boxes, sells, line) for sells in project.sells)))


def _pieces(boxes: Boxes, sells: str, line: ListedPiece) -> Cell:
    """How many pieces of a line a box holds; their names, and how many of them are optional."""
    contents = boxes.contents.get(sells, {})
    held = [(part, contents[part.id]) for part in line.parts if contents.get(part.id, 0) != 0]
    if not held:
        return Cell(nothing=True)
    known = [(part, count) for part, count in held if count is not None]
    if len(known) < len(held):
        return Cell(None)
    optional = boxes.optional.get(sells, frozenset())
    spare = sum(count for part, count in known if part.id in optional)
    total = sum(count for _, count in known)
    said = [_names(line, known)] if line.grouped and len(line.parts) <= NAMED else []
    if spare:
        said.append("optional" if spare == total else f"{spare} optional")
    detail = "; ".join(each for each in said if each)
    return Cell(total, detail=detail or None)


def _names(line: ListedPiece, held: Sequence[tuple[Part, int]]) -> str:
    """The parts of a group by name, without the group's own word: “level, 2 counting aloud”."""
    return ", ".join(
        f"{count}{SPACE}×{SPACE}{_short(line, part)}" if count > 1 else _short(line, part)
        for part, count in held
    )


def _short(line: ListedPiece, part: Part) -> str:
    """A part's name without the word that its group's name repeats: “Head, level” in “Heads”."""
    name = part_name(part)
    first, comma, rest = name.partition(", ")
    return rest if comma and line.name.casefold().startswith(first.casefold()) else name


def _compared(project: Project, boxes: Boxes) -> Iterator[tuple[Sentence, ...]]:
    """How each set stands to its editions, and each edition to the one that it extends."""
    names = {id_: part_name(part) for id_, part in project.parts.items() if is_public(part)}
    for sells, sold in project.sells.items():
        others = sold.editions if sold.is_set else (sold.extends,) if sold.extends else ()
        if not others:
            continue
        values: dict[str, Value] = {
            "box": Name(public_name(project, sells)),
            "others": Names(tuple(public_name(project, other) for other in others)),
        }
        words = "{box} contains all that {others} contain together"
        if len(others) == 1:
            words = "{box} contains all that {others} contains"
        here = pieces(boxes, sells, names)
        there = [pieces(boxes, other, names) for other in others]
        known = [each for each in there if each is not None]
        if here is not None and len(known) == len(there):
            lead = Sentence(words, values)
            yield tuple(differences(here, known, names=names, lead=lead, locale=project.locale))
