"""“What is in each box?”: the matrix of parts and boxes, and what does not fit."""

from itertools import groupby

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import worst
from sixwright.kernel.sentences import Count, Sentence, Value
from sixwright.line.boxes import KINDS, Part
from sixwright.project.model import Project
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    CellAddress,
    Column,
    Document,
    Heading,
    Link,
    Plate,
    Remark,
    Row,
    Table,
)
from sixwright.reports.pages.lineup_remarks import by_part
from sixwright.reports.pages.rows import box_heads, row_anchor, row_form
from sixwright.reports.pages.topic import closing, of_topic, tally
from sixwright.reports.wording.evidence import anchor, open_findings, verdict_of_box
from sixwright.topics.care.cautions import hazards_of_box, many, not_stated, short, stated
from sixwright.topics.lineup import pictures
from sixwright.topics.lineup.model import Answer as Boxes
from sixwright.topics.lineup.sources import SOURCES
from sixwright.topics.lineup.topic import LINEUP
from sixwright.workflows.reviewed import Review

HEADS = {
    "head": "Heads", "hand": "Hands", "body": "Bodies", "garment": "Garments", "shoe": "Shoes",
    "prop": "Props", "metal": "Metal", "mask": "Masks", "joint": "Joints", "base": "Base",
    "light": "Lights", "stand": "Stands", "packing": "Packing",
}  # fmt: skip
METHOD = (
    Sentence("Contents are read as the folder states them; an edition inherits nothing."),
    Sentence("A set with rows of its own contains those; without any, the sum of its editions."),
    Sentence("Optional parts count in full, and “to make” counts the orders without spares."),
    Sentence("Joints and grips are compared by their names; no shape is measured here."),
)


def page(review: Review) -> Document:
    """The page of the line-up."""
    project, boxes = review.project, review.of(LINEUP)
    findings = of_topic(review, "lineup")
    shown = pictures.pictures(review.inputs_of(LINEUP), boxes)
    blocks: tuple[Block, ...] = (
        Answer(review.verdicts["lineup"], _answer(project, boxes, findings)),
        _matrix(project, boxes, findings),
        Heading("What the boxes share", "lineup-shared"),
        *(Plate(picture) for picture in shown),
        *closing(review, "lineup", METHOD, SOURCES),
    )
    return Document(LINEUP.id, LINEUP.question, blocks, project.locale)


def _answer(project: Project, boxes: Boxes, findings: tuple[Finding, ...]) -> tuple[Sentence, ...]:
    values: dict[str, Value] = {
        "kinds": Count(len(project.sells), "kind of box is", "kinds of box are"),
        "parts": Count(len(project.parts), "part", "parts"),
    }
    if boxes.boxes is None:
        lead = Sentence("{kinds} filled from {parts}; not all orders are known yet.", values)
    elif boxes.figures is None:
        values["boxes"] = Count(boxes.boxes, "box", "boxes")
        lead = Sentence("{kinds} filled from {parts}: {boxes} at the orders assumed.", values)
    else:
        values |= {
            "boxes": Count(boxes.boxes, "box", "boxes"),
            "figures": Count(boxes.figures, "figure", "figures"),
        }
        lead = Sentence(
            "{kinds} filled from {parts}: {boxes} with {figures} at the orders assumed.", values
        )
    worst_of_all = [finding.message for finding in open_findings(findings)[:1]]
    return (tally(findings), *worst_of_all, lead)


def _matrix(project: Project, boxes: Boxes, findings: tuple[Finding, ...]) -> Table:
    columns = (
        Column("Part"),
        *box_heads(project),
        Column("To make", numeric=True),
    )
    order = {kind: i for i, kind in enumerate(KINDS)}
    parts = sorted(project.parts.values(), key=lambda part: order.get(part.kind, len(order)))
    remarks = by_part(project, open_findings(findings))
    rows: list[Row] = []
    for kind, of_kind in groupby(parts, key=lambda part: part.kind):
        rows.append(Row((Cell(HEADS.get(kind, kind)),), kind="group"))
        rows += [_part_row(project, boxes, remarks.get(part.id, ()), part) for part in of_kind]
    rows += [
        _orders_row(project, boxes),
        *_announced_rows(project, findings),
        *_caution_rows(project, boxes),
        _verdict_row(project, findings),
    ]
    caption = (
        Sentence("“To make” is what the orders take, before spares and yield; · is none."),
        *((Sentence("Pieces marked “optional” count in full."),) if _has_optional(boxes) else ()),
    )
    form = row_form(project.records, "parts")
    name = "Pieces in each box"
    return Table(name, columns, tuple(rows), caption, frozen=True, even=True, form=form)


def _has_optional(boxes: Boxes) -> bool:
    return any(boxes.optional.values())


def _part_row(project: Project, boxes: Boxes, remarks: tuple[Remark, ...], part: Part) -> Row:
    place = CellAddress("parts", part.id, "name")
    caution = (
        Sentence("Caution: {hazards}", {"hazards": short(said)}) if (said := stated(part)) else None
    )
    cells = (
        Cell(part.called, remarks=remarks, place=place, detail=caution),
        *(_quantity(boxes, sells, part.id) for sells in project.sells),
        _count(boxes.totals.get(part.id, 0)),
    )
    verdict = worst([remark.verdict for remark in remarks]) if remarks else None
    return Row(cells, verdict=verdict, anchor=f"part-{part.id}")


def _quantity(boxes: Boxes, sells: str, part: str) -> Cell:
    held = boxes.contents.get(sells, {})
    summed = sells in boxes.summed
    place = None if summed else CellAddress("contents", f"{sells}/{part}", "quantity")
    if part not in held:
        return Cell(nothing=True, place=place)
    count = held[part]
    detail = "optional" if part in boxes.optional.get(sells, frozenset()) else None
    return Cell(count, nothing=count == 0, detail=detail, place=place)


def _count(count: int | None) -> Cell:
    return Cell(count, nothing=count == 0, strong=True)


def _orders_row(project: Project, boxes: Boxes) -> Row:
    cells = [
        Cell(boxes.orders.get(sells), strong=True, place=CellAddress("orders", sells, "quantity"))
        for sells in project.sells
    ]
    return Row((Cell("Orders assumed"), *cells, Cell(boxes.boxes, strong=True)), kind="total")


def _announced_rows(project: Project, findings: tuple[Finding, ...]) -> tuple[Row, ...]:
    """What was said in public of each box, and where the box does not hold it."""
    if not any(sold.public for sold in project.sells.values()):
        return ()
    broken = {
        finding.subject.id: finding
        for finding in open_findings(findings)
        if finding.rule == "announced"
    }
    cells = []
    for sells, sold in project.sells.items():
        said = ", ".join(f"{public.quantity} {public.group}" for public in sold.public)
        remarks = tuple(
            Remark(finding.verdict, _held(finding), Link("lineup", anchor(finding), ""))
            for public in sold.public
            if (finding := broken.get(f"{sells}/{public.group}")) is not None
        )
        place = CellAddress(sold.table, sells, "public")
        cells.append(Cell(said, nothing=not said, remarks=remarks, place=place))
    return (Row((Cell("Announced"), *cells, Cell(nothing=True)), kind="total"),)


def _caution_rows(project: Project, boxes: Boxes) -> tuple[Row, ...]:
    """What can hurt in each box, and of how many of its parts nobody has said."""
    cells = [_caution(project, boxes, sells) for sells in project.sells]
    if all(cell.nothing for cell in cells):
        return ()
    return (Row((Cell("Cautions"), *cells, Cell(nothing=True)), kind="total"),)


def _caution(project: Project, boxes: Boxes, sells: str) -> Cell:
    held = boxes.contents.get(sells, {})
    known, silent = hazards_of_box(project.parts, held), not_stated(project.parts, held)
    said = [many(known)] if known else []
    if silent:
        said.append(f"{len(silent)} not stated" if known else "not stated")
    detail = "; ".join(said) or None
    link = Link("care", f"box-{row_anchor(sells)}", "")
    count = None if silent and not known else Count(len(known))
    return Cell(count, nothing=not said, detail=detail, link=link)


def _held(finding: Finding) -> Sentence:
    if finding.measured is None:
        return Sentence("not known")
    return Sentence("it contains {count}", {"count": Count(int(finding.measured.value))})


def _verdict_row(project: Project, findings: tuple[Finding, ...]) -> Row:
    cells = [_verdict(findings, sells) for sells in project.sells]
    return Row((Cell("Does it fit together?"), *cells, Cell(nothing=True)), kind="total")


def _verdict(findings: tuple[Finding, ...], sells: str) -> Cell:
    """The worst of a box; a pack of heads has nothing that must fit together."""
    if not any(finding.subject.id.partition("/")[0] == sells for finding in findings
               if finding.subject.kind == "sells"):  # fmt: skip
        return Cell("nothing to judge")
    verdict = verdict_of_box(findings, sells)
    return Cell(str(verdict), verdict=verdict)
