"""A page, a report's chapter and a command's output, as one list of blocks.

A block holds sentences and values, never finished text; each medium words them through
`reports.words`, so that page, report and command cannot disagree.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.pictures import Picture
from sixwright.kernel.sentences import Sentence, Value
from sixwright.kernel.sources import Source
from sixwright.line.shots import Shot
from sixwright.reports.asking import AskCards
from sixwright.reports.date_ask import DateAsk
from sixwright.reports.marking import Marking, SqueezeAsk, StillDrop, StillReplace
from sixwright.reports.placing import SculptBlock
from sixwright.reports.reading import Drop, Reading
from sixwright.reports.under_way import UnderWay


@dataclass(frozen=True, slots=True)
class Link:
    """A place in one of the documents: its topic (`home` too), an anchor there, and the words."""

    topic: str
    anchor: str
    words: str


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer, under one verdict or none; `how` leads to where its formula is told."""

    verdict: Verdict | None
    sentences: tuple[Sentence, ...]
    how: Link | None = None


@dataclass(frozen=True, slots=True)
class Heading:
    """What follows, in a few words."""

    text: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A sentence or two of plain prose, and where they lead."""

    sentences: tuple[Sentence, ...]
    links: tuple[Link, ...] = ()


@dataclass(frozen=True, slots=True)
class Plate:
    """One picture, with its caption; `tabled` where a table beside it has the same numbers."""

    picture: Picture
    tabled: bool = False


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture made of points, which is drawn only where it is looked at.

    Attributes
    ----------
    shot
        What it shows.
    title, summary, caption
        What it is called, its content in words, and what stands under it.
    width, height
        In pixels.
    """

    shot: Shot
    title: str
    summary: str
    caption: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class CellAddress:
    """The cell of the folder that a shown value comes from, so that it can be changed there."""

    table: str
    id: str
    column: str


@dataclass(frozen=True, slots=True)
class Column:
    """A table's column: its head, whether it holds numbers, and a unit under the head.

    `place` is where the folder holds the head itself (the name of a box).
    """

    head: str
    numeric: bool = False
    unit: str = ""
    wide: bool = False
    place: CellAddress | None = None


@dataclass(frozen=True, slots=True)
class Remark:
    """What a finding says of a row: the verdict, a short sentence, and where the whole stands."""

    verdict: Verdict
    sentence: Sentence
    link: Link


@dataclass(frozen=True, slots=True)
class Cell:
    """One value of a table.

    Attributes
    ----------
    value
        None says that it is not known; the cell then says so.
    nothing
        The value is none at all (a part that is not in the box), shown as a dot.
    detail
        Smaller print under the value.
    place, detail_place
        Where the folder holds the value, and the detail.
    link
        Where the value leads, on a page.
    """

    value: Value | Sentence | int | None = None
    nothing: bool = False
    strong: bool = False
    verdict: Verdict | None = None
    detail: Value | Sentence | None = None
    place: CellAddress | None = None
    detail_place: CellAddress | None = None
    link: Link | None = None
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """A table's row; `kind` is ``row``, ``group`` (one cell, a heading) or ``total``.

    `deeds` are what can be done about it at once, on a page; `pick` is the id and the name of a
    row that can be picked there, to be changed with others.
    """

    cells: tuple[Cell, ...]
    kind: str = "row"
    verdict: Verdict | None = None
    anchor: str = ""
    deeds: "tuple[Deed, ...]" = ()
    pick: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Deed:
    """A button of a page: its words, what they stand for in full, and what is asked for.

    Attributes
    ----------
    words, label
        A verb; and, for those who do not see where it stands, with its object.
    does
        The request: ``take-out``, ``undo``, ``restore`` and so on.
    asks
        What the request holds, by name.
    """

    words: str
    label: str
    does: str
    asks: tuple[tuple[str, str | Mapping[str, str]], ...]


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing that a form asks.

    Attributes
    ----------
    name, label
        What the request calls it, and what the producer reads.
    note
        Said beside the label: “if known”.
    options
        Values and their words, where it is one of several.
    long
        Whether it takes a sentence or two.
    by
        Whether it is the name of who sits here, which is then filled in already.
    set
        Whether the first of its options stands until another is chosen; else none does.
    """

    name: str
    label: str
    required: bool = False
    note: str = ""
    hint: str = ""
    options: tuple[tuple[str, str], ...] = ()
    long: bool = False
    by: bool = False
    set: bool = False


@dataclass(frozen=True, slots=True)
class Form:
    """What a page asks before it writes: a title that is also the button, and what is asked.

    Attributes
    ----------
    does
        The request.
    fixed
        What the request holds besides, by name.
    within
        Under which name the request holds what was asked; empty for its top.
    lead, note
        What it is for, where its button says something else; and what is to be known first.
    """

    title: str
    does: str
    asks: tuple[Ask, ...]
    fixed: tuple[tuple[str, str], ...] = ()
    within: str = ""
    lead: str = ""
    note: Sentence | None = None


@dataclass(frozen=True, slots=True)
class RowsAround:
    """Where the rows of a long table are that stand before and after those here; empty for none.

    `name` is the table's in such addresses.
    """

    name: str
    before: str = ""
    after: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads; the first column names the row.

    `frozen` keeps the heads and the first column in sight while the rest scrolls; `even` gives
    all columns but the first the same width. `form` is what can be done with it, on a page;
    `own` says that it is a table of the folder itself, `many` what is asked to change many of its
    rows at once. `stretch` says which rows are here, `how` leads to where formulas are told.
    """

    name: str
    columns: tuple[Column, ...]
    rows: Sequence[Row]
    caption: tuple[Sentence, ...] = ()
    frozen: bool = False
    even: bool = False
    form: Form | None = None
    own: bool = False
    many: Form | None = None
    stretch: RowsAround | None = None
    how: Link | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """A finding with its evidence in a sentence, an anchor of its own, and a link or two.

    `rests_on` is what the finding rests on, in words; its anchor is where the page tells the
    method, empty where the page does not.
    """

    finding: Finding
    evidence: tuple[Sentence, ...]
    anchor: str
    rests_on: Link
    links: tuple[Link, ...] = ()

    @property
    def accepted(self) -> tuple[Sentence, ...]:
        """Who accepted it, when and why: said wherever the finding is."""
        return self.evidence[-1:] if self.finding.accepted is not None else ()


@dataclass(frozen=True, slots=True)
class Items:
    """Findings, worst first; `none` is said where there are none.

    `brief` leaves the evidence, save who accepted it, to the page that the link leads to;
    `compact` sets the findings as plain lines, for those that need nobody; `more` says how many
    of them are not here, where there are too many for one page.
    """

    items: tuple[Item, ...]
    none: Sentence = field(default_factory=lambda: Sentence("Nothing needs you here."))
    brief: bool = False
    compact: bool = False
    more: int = 0


@dataclass(frozen=True, slots=True)
class Fold:
    """Blocks folded away under a summary.

    `to_work` says that they are there to be dealt with on a page: they say again what the rest of
    their document says, so the report leaves them out.
    """

    summary: Sentence
    blocks: "tuple[Block, ...]"
    anchor: str = ""
    to_work: bool = False


@dataclass(frozen=True, slots=True)
class Sources:
    """The works that a topic rests on."""

    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """A page of the documentation, as HTML of our own; it is shown on pages only."""

    html: str


Block = (
    Answer
    | Heading
    | Paragraph
    | Plate
    | Photo
    | Table
    | Items
    | Fold
    | DateAsk
    | Drop
    | Reading
    | Marking
    | SculptBlock
    | StillDrop
    | AskCards
    | SqueezeAsk
    | StillReplace
    | Sources
    | Written
    | UnderWay
)


@dataclass(frozen=True, slots=True)
class Document:
    """One question and its answer, ready to be shown in any medium.

    Attributes
    ----------
    topic
        Its topic's id, or ``home``.
    title
        The question; home has the date.
    """

    topic: str
    title: str
    blocks: tuple[Block, ...]
    locale: str
