"""Documents as plain data for print.typ: the same blocks, the same words, in runs of text."""

from base64 import b64encode
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count, takewhile

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.pictures import Drawing
from sixwright.kernel.sentences import Sentence, Value
from sixwright.kernel.sources import Source
from sixwright.reports.asking import PICTURE_PX, AskCard, AskCards
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    Document,
    Fold,
    Heading,
    Item,
    Items,
    Link,
    Paragraph,
    Photo,
    Plate,
    Remark,
    Row,
    Sources,
    Table,
)
from sixwright.reports.html import MakePhoto, no_photo
from sixwright.reports.paper.tables import ColumnGroup, Paper, lay
from sixwright.reports.svg.picture import svg
from sixwright.reports.svg.verdict_mark import MARKS
from sixwright.reports.wording.words import runs, text_of

# A table of more rows is longer than a page is high: it starts a page of its own.
LONG_ROWS = 36

# What may stand above a table that opens a question.
OPENINGS = frozenset({"answer", "paragraph"})

Data = dict[str, object]
Runs = list[list[object]]

# Where a style sheet sets trouble in black for print, the pictures of a PDF are black already.
TROUBLE, BLACK = "#6a2a8c", "#000000"


@dataclass(slots=True)
class Writer:
    """Makes data of the documents of one print; knows which places links may lead to."""

    locale: str
    paper: Paper
    anchors: frozenset[str]
    photos: MakePhoto = no_photo
    _pictures: Iterator[int] = field(default_factory=lambda: count(1))

    def document(self, document: Document) -> Data:
        """A question and its answer; what opens it is turned with the table that follows."""
        blocks = self.blocks(document.blocks)
        opening = list(takewhile(lambda block: block["kind"] in OPENINGS, blocks))
        shown = {"topic": document.topic, "title": document.title}
        table = blocks[len(opening)] if len(blocks) > len(opening) else {}
        if not table.get("turned"):
            return {**shown, "turned": [], "blocks": blocks}
        rest = blocks[len(opening) + 1 :]
        return {**shown, "turned": [*opening, {**table, "turned": False}], "blocks": rest}

    def blocks(self, blocks: Iterable[Block]) -> list[Data]:
        """Each block, with its kind."""
        return [self.block(block) for block in blocks]

    def block(self, block: Block) -> Data:
        """One block."""
        shown: Data
        match block:
            case Heading(text, anchor):
                shown = {"kind": "heading", "text": text, "anchor": anchor}
            case Answer(verdict, sentences):
                shown = {"kind": "answer", "runs": self.prose(sentences), **mark(verdict)}
            case Paragraph(sentences, links):
                shown = {"kind": "paragraph", "runs": self.prose(sentences)}
                shown["links"] = [self.link(link) for link in links]
            case Plate() | Photo():
                shown = self.plate(block) if isinstance(block, Plate) else self.photo(block)
            case Table():
                shown = self.table(block)
            case Items():
                shown = self.items(block)
            case Fold():
                shown = self.fold(block)
            case AskCards(cards):
                shown = {"kind": "asks", "asks": [self.ask_card(card) for card in cards]}
            case Sources(sources):
                shown = {"kind": "sources", "sources": [_cited(each) for each in sources]}
        return shown

    def fold(self, block: Fold) -> Data:
        """What a page folds away; a table named like the fold is not named twice."""
        summary = self.plain(block.summary)
        inner = [
            replace(each, name="") if isinstance(each, Table) and each.name == summary else each
            for each in block.blocks
        ]
        shown: Data = {"kind": "fold", "runs": self.words(block.summary), "anchor": block.anchor}
        return shown | {"blocks": self.blocks(inner)}

    def words(self, value: Sentence | Value | int) -> Runs:
        """A sentence or a value as runs of text, each with whether it is strong."""
        if isinstance(value, Sentence):
            return [[run.text, run.strong] for run in runs(value, self.locale)]
        return [[text_of(value, self.locale), False]]

    def prose(self, sentences: Iterable[Sentence]) -> Runs:
        """Several sentences, a space between them."""
        said: Runs = []
        for sentence in sentences:
            said += [[" ", False], *self.words(sentence)] if said else self.words(sentence)
        return said

    def plain(self, value: Sentence | Value | int) -> str:
        """A value's text without its runs."""
        return "".join(str(run[0]) for run in self.words(value))

    def plate(self, block: Plate) -> Data:
        """A picture as SVG, with what it shows in words."""
        picture = block.picture
        drawn = svg(picture, name=f"picture-{next(self._pictures)}", locale=self.locale)
        return {
            "kind": "plate",
            "title": picture.title,
            "summary": picture.summary,
            "caption": picture.caption,
            "half": isinstance(picture, Drawing),
            "svg": drawn.replace(TROUBLE, BLACK),
        }

    def ask_card(self, card: AskCard) -> Data:
        """One ask with its picture, whichever kind that is."""
        drawn = ""
        if card.shot is not None and (made := self.photos(card.shot)) is not None:
            drawn = _in_svg(made, *PICTURE_PX)
        elif card.drawing is not None:
            name = f"picture-{next(self._pictures)}"
            drawn = svg(card.drawing, name=name, locale=self.locale).replace(TROUBLE, BLACK)
        return {
            "number": card.number,
            "words": card.words,
            "said": card.said,
            "svg": drawn,
            "summary": card.summary,
            "caption": card.caption,
        }

    def photo(self, block: Photo) -> Data:
        """A picture made of points."""
        made = self.photos(block.shot)
        if made is None:
            return {"kind": "paragraph", "runs": [], "links": []}
        drawn = _in_svg(made, block.width, block.height)
        return {
            "kind": "plate",
            "title": block.title,
            "summary": block.summary,
            "caption": block.caption,
            "half": False,
            "svg": drawn,
        }

    def table(self, block: Table) -> Data:
        """A table, laid on the paper."""
        laid = lay(block, self.plain, self.paper)
        return {
            "kind": "table",
            "name": block.name,
            "caption": self.prose(block.caption),
            "turned": laid.turned,
            "long": len(block.rows) > LONG_ROWS,
            "parts": [self.part(block, part) for part in laid.parts],
        }

    def part(self, block: Table, part: ColumnGroup) -> Data:
        """Some of a table's columns; only the first part has the rows' places."""
        heads = [block.columns[i] for i in part.columns]
        first = part.columns[1:2] in {(1,), ()}
        return {
            "widths": [round(width, 2) for width in part.widths_pt],
            "numeric": [head.numeric for head in heads],
            "heads": [{"head": head.head, "unit": head.unit} for head in heads],
            "rows": [self.row(row, part.columns, anchored=first) for row in block.rows],
        }

    def row(self, row: Row, columns: Sequence[int], *, anchored: bool) -> Data:
        """One row of a part."""
        kept = [row.cells[i] for i in columns if i < len(row.cells)]
        return {
            "kind": row.kind,
            "fails": row.verdict is Verdict.FAILS,
            "anchor": row.anchor if anchored else "",
            "cells": [self.cell(cell) for cell in kept],
        }

    def cell(self, cell: Cell) -> Data:
        """One value, with its mark, its small print and its remarks."""
        return {
            "state": "nothing" if cell.nothing else "unknown" if cell.value is None else "known",
            "runs": self.words(cell.value) if cell.value is not None else [],
            "strong": cell.strong,
            "to": self.link(cell.link)["to"] if cell.link is not None else "",
            "detail": self.words(cell.detail) if cell.detail is not None else [],
            "remarks": [self.remark(remark) for remark in cell.remarks],
            **mark(cell.verdict),
        }

    def remark(self, remark: Remark) -> Data:
        """What a finding says of a row."""
        to = remark.link.anchor or remark.link.topic
        shown: Data = {"runs": self.words(remark.sentence), **mark(remark.verdict)}
        return shown | {"to": to if to in self.anchors else ""}

    def items(self, block: Items) -> Data:
        """Findings, worst first, or what is said where there are none."""
        return {
            "kind": "items",
            "compact": block.compact,
            "none": self.words(block.none),
            "items": [self.item(each, brief=block.brief) for each in block.items],
            "more": block.more,
        }

    def item(self, each: Item, *, brief: bool) -> Data:
        """One finding."""
        remedy = each.finding.remedy
        return {
            "message": self.words(each.finding.message),
            "remedy": self.words(remedy) if remedy is not None else [],
            "evidence": self.prose(each.accepted if brief else each.evidence),
            "rests_on": {"words": "", "to": ""} if brief else self.link(each.rests_on),
            "anchor": "" if brief else each.anchor,
            "links": [self.link(link) for link in each.links],
            **mark(each.finding.verdict),
        }

    def link(self, link: Link) -> Data:
        """A place in the same print; none where it is not printed."""
        to = link.anchor or link.topic
        return {"words": link.words, "to": to if to in self.anchors else ""}


def _in_svg(jpeg: bytes, width: int, height: int) -> str:
    """A picture made of points within an SVG: the one kind that data in letters can hold."""
    size = f'width="{width}" height="{height}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" '
        f'xmlns:xlink="http://www.w3.org/1999/xlink" {size} '
        f'viewBox="0 0 {width} {height}">'
        f'<image {size} xlink:href="data:image/jpeg;base64,{b64encode(jpeg).decode()}"/></svg>'
    )


def _cited(source: Source) -> str:
    where = f", {source.locator}" if source.locator else ""
    return f"{source.title}{where}.{f' {source.note}' if source.note else ''}"


def mark(verdict: Verdict | None) -> Data:
    """A verdict's mark, as strokes, and its word; both empty where there is none."""
    if verdict is None:
        return {"mark": [], "word": ""}
    strokes = [
        {"lines": stroke.lines, "width": stroke.width, "dashes": stroke.dashes}
        for stroke in MARKS[verdict]
    ]
    return {"mark": strokes, "word": str(verdict)}


def anchors(documents: Iterable[Document]) -> frozenset[str]:
    """Every place of these documents that a link can lead to."""
    found: set[str] = set()
    for document in documents:
        found |= {document.topic, *_anchors(document.blocks)}
    return frozenset(found)


def _anchors(blocks: Iterable[Block]) -> Iterator[str]:
    for block in blocks:
        match block:
            case Heading(_, anchor) if anchor:
                yield anchor
            case Items(items, brief=False):
                yield from (each.anchor for each in items)
            case Table():
                yield from (row.anchor for row in block.rows if row.anchor)
            case Fold(_, inner, anchor):
                yield from ([anchor] if anchor else [])
                yield from _anchors(inner)
            case _:
                pass


def print_data(
    documents: Sequence[Document],
    *,
    paper: Paper,
    locale: str,
    head: Mapping[str, object],
    photos: MakePhoto = no_photo,
) -> Data:
    """Documents and what stands at their head and foot, as one set of data.

    Parameters
    ----------
    head
        The print's title, its imprint, and whatever else its template shows.
    photos
        Draws pictures made of points.
    """
    writer = Writer(locale, paper, anchors(documents), photos)
    return {**head, "documents": [writer.document(document) for document in documents]}
