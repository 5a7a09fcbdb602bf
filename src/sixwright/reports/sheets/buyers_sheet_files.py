"""The buyer's sheet as HTML, PDF and PNG: one document, the same words in each."""

from dataclasses import dataclass
from datetime import date

from sixwright.reports import fonts
from sixwright.reports.document import Document, Table
from sixwright.reports.html import ASSETS, environment, in_report, style_sheet
from sixwright.reports.pages.windows import Windows, windowed
from sixwright.reports.paper.document_data import Data, Writer, print_data
from sixwright.reports.paper.tables import Paper, lay
from sixwright.reports.paper.typeset import Printed, language, paper_of, print_pdf, print_png
from sixwright.reports.sheets.buyers_sheet import TITLE
from sixwright.reports.wording.words import day

# Widths of the picture's text, pt; the first on which the table stands whole is taken.
WIDTHS_PT = (500.0, 640.0, 800.0, 1100.0)


@dataclass(frozen=True, slots=True)
class DatedSheet:
    """The sheet's words, and the day that it is of.

    Attributes
    ----------
    document
        As `buyers_sheet` makes it.
    today
        The date that it bears.
    """

    document: Document
    today: date

    @property
    def title(self) -> str:
        """What the sheet is called, with its date."""
        return f"{TITLE}, {self.document.title}, {self.date}"

    @property
    def date(self) -> str:
        """The date as the locale writes it."""
        return day(self.today, self.document.locale)


def sheet_html(sheet: DatedSheet) -> str:
    """The sheet as one HTML file that needs nothing beside it."""
    made = environment(locale=sheet.document.locale, href=in_report)
    template = made.get_template("sheet.html.j2")
    css = style_sheet() + (ASSETS / "sheet.css").read_text(encoding="utf-8")
    context: dict[str, object] = {
        "title": sheet.title,
        "document": sheet.document,
        "date": sheet.date,
        "css": css,
        "fonts": "",
    }
    needed = fonts.embedded(template.render(context))
    return template.render(context | {"fonts": needed})


def sheet_pdf(sheet: DatedSheet) -> Printed:
    """The sheet as a tagged PDF on the paper of its locale."""
    data = _data(sheet, paper_of(sheet.document.locale))
    return print_pdf("sheet.typ", data, today=sheet.today)


def sheet_png(sheet: DatedSheet) -> bytes:
    """The sheet as one picture, as long as it needs to be, to be posted."""
    return print_png("sheet.typ", _data(sheet, _picture(sheet)), today=sheet.today)


def _data(sheet: DatedSheet, paper: Paper) -> Data:
    document = windowed(sheet.document, Windows(printed=True))
    head: dict[str, object] = {
        "title": sheet.title,
        "name": document.title,
        "date": sheet.date,
        "paper": paper.name,
        "width": paper.upright_pt,
        **language(document.locale),
    }
    return print_data((document,), paper=paper, locale=document.locale, head=head)


def _picture(sheet: DatedSheet) -> Paper:
    """A sheet that is never turned, wide enough for the table."""
    tables = [block for block in sheet.document.blocks if isinstance(block, Table)]
    for width in WIDTHS_PT:
        paper = Paper("", width, width)
        writer = Writer(sheet.document.locale, paper, frozenset())
        if all(len(lay(table, writer.plain, paper).parts) == 1 for table in tables):
            return paper
    return Paper("", WIDTHS_PT[-1], WIDTHS_PT[-1])
