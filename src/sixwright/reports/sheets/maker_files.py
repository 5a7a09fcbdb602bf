"""A maker's sheet as files: on paper (PDF), and as a table (CSV, RFC 4180)."""

import csv
from collections.abc import Iterator
from io import StringIO

from sixwright.kernel.currency import Money, decimal_text
from sixwright.kernel.spreadsheet_text import safe_text
from sixwright.reports.pages.makers import file_name, maker_document
from sixwright.reports.pages.windows import Windows, windowed
from sixwright.reports.paper.document_data import print_data
from sixwright.reports.paper.typeset import Printed, language, paper_of, print_pdf
from sixwright.reports.report_files import Files, unclaimed
from sixwright.reports.wording.words import day, say
from sixwright.topics.care.cautions import short
from sixwright.workflows.maker_sheets import Made, MakerSheet, maker_sheets
from sixwright.workflows.reviewed import Review

KINDS = ("pdf", "csv")
MOST_SHEETS = 100  # written at once by the command: far more makers than a line has
MORE = (
    f"Sheets were made for the first {MOST_SHEETS} makers; the page “What goes to whom?” has all."
)
HEADS = (
    "Part",
    "Id",
    "To order",
    "How it is made",
    "Quoted, a piece",
    "From",
    "Tooling",
    "Tool",
    "Currency",
    "Quote stands until",
    "Lead, days",
    "Can hurt",
    "What is open",
)
# Spreadsheet programs take a CSV for UTF-8 where it begins so.
MARK = "\N{BYTE ORDER MARK}"


def sheet_of(review: Review, name: str) -> tuple[MakerSheet, str] | None:
    """The sheet and the kind that a file's name asks for; None where there is none such."""
    return next(
        (
            (sheet, kind)
            for sheet in maker_sheets(review)
            for kind in KINDS
            if file_name(sheet, kind) == name
        ),
        None,
    )


def maker_file(review: Review, name: str) -> bytes | None:
    """One file of a maker's sheet, by its name; None where there is none such."""
    found = sheet_of(review, name)
    if found is None:
        return None
    sheet, kind = found
    return maker_pdf(review, sheet).content if kind == "pdf" else maker_csv(review, sheet)


def maker_files(review: Review) -> Files:
    """The files of all makers who have something to make, by name."""
    sheets = [sheet for sheet in maker_sheets(review) if sheet.parts]
    made: dict[str, bytes] = {}
    claimed: dict[str, Printed] = {}
    for sheet in sheets[:MOST_SHEETS]:
        name = file_name(sheet, "pdf")
        claimed[name] = maker_pdf(review, sheet)
        made[name] = claimed[name].content
        made[file_name(sheet, "csv")] = maker_csv(review, sheet)
    more = (MORE,) if len(sheets) > MOST_SHEETS else ()
    return Files(made, (*unclaimed(claimed), *more))


def maker_pdf(review: Review, sheet: MakerSheet) -> Printed:
    """The sheet as a tagged PDF, in the words of its page."""
    locale = review.project.locale
    paper, date = paper_of(locale), day(review.today, locale)
    document = windowed(maker_document(review, sheet), Windows(printed=True))
    head: dict[str, object] = {
        "title": f"{document.title}, {review.project.name}, {date}",
        "name": review.project.name,
        "date": date,
        "paper": paper.name,
        "width": paper.upright_pt,
        **language(locale),
    }
    data = print_data((document,), paper=paper, locale=locale, head=head)
    return print_pdf("sheet.typ", data, today=review.today)


def maker_csv(review: Review, sheet: MakerSheet) -> bytes:
    """The sheet as a table: one row a part, decimal points, dates as 2026-09-14, in UTF-8.

    Source
    ------
    RFC 4180. An empty cell is not known; text that would start a formula gets an apostrophe.
    """
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(HEADS)
    for made in sheet.parts:
        writer.writerow([safe_text(text) for text in _cells(made, review.project.locale)])
    return (MARK + out.getvalue()).encode()


def _cells(made: Made, locale: str) -> Iterator[str]:
    part, way = made.part, made.way
    yield part.name or part.id
    yield part.id
    yield _number(made.order)
    yield way.process.strip()
    yield _amount(made.price)
    yield _number(made.from_quantity)
    yield _amount(made.tooling)
    yield made.tool or ""
    yield way.currency or ""
    yield way.valid_until.isoformat() if way.valid_until else ""
    yield _number(way.lead_days)
    yield "" if made.hazards is None else short(made.hazards) or "none"
    yield " ".join(say(sentence, locale) for sentence in made.open)


def _number(count: int | None) -> str:
    return "" if count is None else str(count)


def _amount(quoted: Money | None) -> str:
    return "" if quoted is None else decimal_text(quoted.amount)
