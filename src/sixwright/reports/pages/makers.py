"""“What goes to whom?”: for each maker one sheet, on a page; `sheets/maker_files` has its files.

A sheet is made of `MakerSheet` alone, which holds nothing that a maker may not see.
"""

from sixwright.kernel.currency import Money, minor_units
from sixwright.kernel.sentences import Count, Day, Name, Sentence, Value
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
    Paragraph,
    Row,
    Table,
)
from sixwright.reports.wording.words import joined, money, say
from sixwright.topics.care.cautions import DECIDES, for_buyers, short
from sixwright.topics.care.hazards import HAZARDS
from sixwright.workflows.maker_sheets import (
    Made,
    MakerSheet,
    Unsent,
    maker_sheets,
    unsent,
)
from sixwright.workflows.reviewed import Review

TOPIC = "makers"
QUESTION = "What goes to whom?"
SHEET = Sentence(
    "A sheet has a maker’s own parts, quantities and quote, and what is open; nothing of your "
    "prices, margins, fees, votes or notes, and nothing of another maker."
)
# Said on the face of the whole report, in each medium.
FOR_THE_HOUSE = Sentence(
    "For the house: it shows costs, margins and profit. What a maker may see is on that maker’s "
    "own sheet."
)
PRICE_DIGITS = 6  # a quoted price is given as it was quoted, up to so many


def file_name(sheet: MakerSheet, kind: str) -> str:
    """The name of a sheet's file: ``maker-arden.pdf``."""
    return f"maker-{sheet.address}.{kind}"


def makers(review: Review) -> Document:
    """The makers, what each is sent, and what is sent to nobody."""
    sheets, left = maker_sheets(review), unsent(review)
    rows = tuple(_listed(sheet) for sheet in sheets)
    columns = (
        Column("Maker"),
        Column("Parts", numeric=True),
        Column("Open with them", numeric=True),
        Column("To print"),
        Column("As a table"),
    )
    blocks: list[Block] = [Answer(None, (_answer(sheets, left), SHEET))]
    if rows:
        blocks.append(Table("A sheet for each maker", columns, rows))
    if left:
        blocks.append(_left(left))
    return Document(TOPIC, QUESTION, tuple(blocks), review.project.locale)


def at_home(review: Review) -> tuple[Block, ...]:
    """Home's way to the sheets; nothing where no maker has anything to make."""
    sheets = maker_sheets(review)
    if not any(sheet.parts for sheet in sheets):
        return ()
    told = _answer(sheets, unsent(review))
    return (Heading(QUESTION, "send"), Paragraph((told,), (Link(TOPIC, "", "See the sheets"),)))


def _answer(sheets: tuple[MakerSheet, ...], left: tuple[Unsent, ...]) -> Sentence:
    if not sheets and not left:
        return Sentence("No quote names a maker yet.")
    open_ = sum(len(sheet.open) for sheet in sheets)
    busy = [sheet for sheet in sheets if sheet.parts]
    values: dict[str, Value] = {
        "makers": Count(len(busy), "maker has", "makers have"),
        "open": Count(open_, "thing is", "things are"),
        "left": Count(len(left), "part goes", "parts go"),
    }
    said = ["{makers} parts to make"]
    said += ["{open} open on their sheets"] if open_ else []
    said += ["{left} to nobody yet"] if left else []
    used = {name: values[name] for name in values if any(f"{{{name}}}" in each for each in said)}
    return Sentence(f"{', and '.join([', '.join(said[:-1]), said[-1]] if said[:-1] else said)}.",
                    used)  # fmt: skip


def _listed(sheet: MakerSheet) -> Row:
    page = Link(f"{TOPIC}/{sheet.address}", "", sheet.maker)
    files = [Link(f"report/{file_name(sheet, kind)}", "", kind.upper()) for kind in ("pdf", "csv")]
    return Row(
        (
            Cell(sheet.maker, link=page),
            Cell(Count(len(sheet.parts)), nothing=not sheet.parts),
            Cell(Count(len(sheet.open)), nothing=not sheet.open),
            *(Cell(link.words, link=link) for link in files),
        )
    )


def _left(left: tuple[Unsent, ...]) -> Table:
    rows = tuple(
        Row(
            (
                Cell(each.part.called),
                Cell(each.why),
                Cell(None, place=CellAddress("parts", each.part.id, "way"))
                if each.part.way is None
                else Cell(each.part.way, place=CellAddress("ways", each.part.way, "maker")),
            )
        )
        for each in left
    )
    columns = (Column("Part"), Column("Why", wide=True), Column("Quote"))
    return Table("Sent to nobody yet", columns, rows)


def maker_page(review: Review, address: str) -> Document:
    """The page of one maker's sheet, with the ways to its files."""
    sheets = {sheet.address: sheet for sheet in maker_sheets(review)}
    sheet = sheets.get(address)
    if sheet is None:
        told = Sentence("No quote names this maker any more.")
        back = Paragraph((), (Link(TOPIC, "", QUESTION),))
        return Document(TOPIC, QUESTION, (Answer(None, (told,)), back), review.project.locale)
    shown = maker_document(review, sheet)
    files = tuple(
        Link(f"report/{file_name(sheet, kind)}", "", f"Save as {kind.upper()}")
        for kind in ("pdf", "csv")
    )
    first, *rest = shown.blocks
    blocks = (first, Paragraph((SHEET,)), Paragraph((Sentence("To send it:"),), files), *rest)
    return Document(TOPIC, shown.title, blocks, shown.locale)


def maker_document(review: Review, sheet: MakerSheet) -> Document:
    """One maker's sheet, as it leaves: the same words on page and paper."""
    project = review.project
    blocks: list[Block] = [Answer(None, _lead(project, sheet))]
    if sheet.parts:
        blocks.append(_parts(project, sheet))
        blocks += [_open(sheet)] if sheet.open else []
        blocks += (
            [_care(sheet, project.locale)] if any(made.hazards for made in sheet.parts) else []
        )
        blocks += [_bench(sheet)] if sheet.bench else []
    return Document(TOPIC, f"For {sheet.maker}", tuple(blocks), project.locale)


def _lead(project: Project, sheet: MakerSheet) -> tuple[Sentence, ...]:
    values: dict[str, Value] = {"line": Name(project.name)}
    if not sheet.parts:
        return (Sentence("Nothing is to be made for {line} as it stands.", values),)
    values |= {"parts": Count(len(sheet.parts), "part", "parts"), "scale": f"1:{project.scale}"}
    said = [Sentence("{parts} to make for {line}, at {scale}.", values)]
    if sheet.open:
        open_ = Count(len(sheet.open), "thing is", "things are")
        said.append(Sentence("{open} still open; see below.", {"open": open_}))
    return tuple(said)


def _parts(project: Project, sheet: MakerSheet) -> Table:
    columns = (
        Column("Part"),
        Column("To order", numeric=True, unit="pieces"),
        Column("How it is made", wide=True),
        Column("Quoted, a piece", numeric=True),
        Column("Tooling", numeric=True),
        Column("Quote stands until"),
        Column("Can hurt"),
    )
    rows = tuple(_made(project, made) for made in sheet.parts)
    caption = (
        Sentence("Quantities are good pieces, with spares, and no fewer than the least quoted."),
        Sentence("Prices are those quoted, in the quote’s currency."),
        *((Sentence("Parts of one tool pay it once."),)
          if any(made.tool for made in sheet.parts) else ()),
    )  # fmt: skip
    return Table("What to make", columns, rows, caption)


def _made(project: Project, made: Made) -> Row:
    part, way = made.part, made.way
    until = way.valid_until
    hurt = None if made.hazards is None else short(made.hazards) or "none"
    return Row(
        (
            Cell(part.name or part.id, detail=part.id if part.name else None),
            Cell(made.order if made.order is None else Count(made.order), strong=True),
            _process(made),
            _price(project, made),
            _tooling(project, made),
            Cell(until and Day(until), place=CellAddress("ways", way.id, "valid_until")),
            Cell(hurt, place=CellAddress("parts", part.id, "hazards")),
        ),
        anchor=f"make-{part.id}",
    )


def _process(made: Made) -> Cell:
    days = made.way.lead_days
    lead = None
    if days is not None:
        lead = Sentence("{days} from order to delivery", {"days": Count(days, "day", "days")})
    place = CellAddress("ways", made.way.id, "process")
    return Cell(made.way.process.strip() or None, detail=lead, place=place)


def _price(project: Project, made: Made) -> Cell:
    if made.price is None or made.from_quantity is None:
        return Cell(None)
    start = Sentence("from {count}", {"count": Count(made.from_quantity)})
    return Cell(amount(made.price, project.locale), detail=start)


def _tooling(project: Project, made: Made) -> Cell:
    if made.tool_of is not None:
        name = made.tool_of.name or made.tool_of.id
        return Cell(Sentence("with {part}", {"part": Name(name)}))
    if made.tooling is None:
        return Cell(None)
    return Cell(amount(made.tooling, project.locale), nothing=made.tooling.amount == 0)


def amount(quoted: Money, locale: str) -> str:
    """An amount to its last quoted place: 0.0389 CNY is not 0.04 CNY."""
    places = range(minor_units(quoted.currency), PRICE_DIGITS)
    digits = next((n for n in places if (quoted.amount * 10**n).denominator == 1), PRICE_DIGITS)
    return money(quoted, locale, digits=digits)


def _open(sheet: MakerSheet) -> Table:
    rows = tuple(
        Row((Cell(told), Cell(joined(tuple(part.called for part in parts)))))
        for told, parts in sheet.open
    )
    return Table("What is open", (Column("What", wide=True), Column("Parts", wide=True)), rows)


def _care(sheet: MakerSheet, locale: str) -> Table:
    """What is stated to hurt, the usual caution, and the parts that have it."""
    rows = tuple(
        Row((Cell(hazard.short.capitalize()), Cell(_caution(hazard.word, locale)),
             Cell(joined(tuple(names)))))
        for hazard in HAZARDS
        if (names := [made.part.called for made in sheet.parts
                      if hazard.word in (made.hazards or ())])
    )  # fmt: skip
    columns = (Column("What"), Column("Caution", wide=True), Column("Parts", wide=True))
    return Table("What can hurt", columns, rows, (DECIDES,))


def _caution(hazard: str, locale: str) -> str:
    return " ".join(say(sentence, locale) for sentence in for_buyers((hazard,)))


def _bench(sheet: MakerSheet) -> Table:
    rows = tuple(
        Row((Cell(bench.work), Cell(bench.caution),
             Cell(joined(tuple(part.called for part in parts)))))
        for bench, parts in sheet.bench
    )  # fmt: skip
    columns = (Column("Work"), Column("Usual cautions", wide=True), Column("Parts", wide=True))
    caption = (Sentence("The safety data sheet of what is used decides, and local codes do."),)
    return Table("In the workshop", columns, rows, caption)
