"""“What goes on paper?”: the report and the buyers' sheet, made from the line as it stands."""

from collections.abc import Iterator

from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Answer, Cell, Column, Document, Link, Row, Table
from sixwright.reports.pages.makers import TOPIC as MAKERS
from sixwright.reports.report_files import draft_of
from sixwright.reports.sheets.calendar_file import NAME as CALENDAR
from sixwright.reports.sheets.update import UPDATE_HTML, UPDATE_MD
from sixwright.topics.dates.topic import DATES
from sixwright.workflows.reviewed import Review

TOPIC = "report"
QUESTION = "What goes on paper?"
FILES = {
    "report.pdf": ("The whole line, for the house, to print or to file", "PDF"),
    "report.html": ("The whole line, for the house, as one page for a browser", "HTML"),
    "contents.pdf": ("What is in each edition, for buyers, to print", "PDF"),
    "contents.png": ("What is in each edition, for buyers, to post", "PNG"),
    "contents.html": ("What is in each edition, for buyers, for a site", "HTML"),
    UPDATE_MD: ("What to tell them next: a draft for you to edit", "Markdown"),
    UPDATE_HTML: ("The same draft, as one page for a browser", "HTML"),
    CALENDAR: ("Milestones, promises and tasks, for your calendar", "iCalendar"),
}
MEDIA_TYPES = {
    "PDF": "application/pdf",
    "PNG": "image/png",
    "HTML": "text/html; charset=utf-8",
    "Markdown": "text/markdown; charset=utf-8",
    "iCalendar": "text/calendar; charset=utf-8",
    "CSV": "text/csv; charset=utf-8",
}


def prints(review: Review) -> Document:
    """The page of the files that can be handed over."""
    told = (
        Sentence("These are made from the folder as it stands, with the same words as the pages."),
        Sentence(
            "The whole line is for the house: it shows costs, margins and profit. What a maker "
            "may see is on that maker’s own sheet."
        ),
        Sentence("Read the buyers’ sheet before you post it: it says what is in each box today."),
        Sentence(
            "Its cautions are those that the parts state, and small parts by their size; another "
            "hazard that is not stated is not on it."
        ),
    )
    absent = set(_absent(review))
    rows = tuple(
        Row((Cell(what, link=Link(f"{TOPIC}/{name}", "", what)), Cell(kind)))
        for name, (what, kind) in FILES.items()
        if name not in absent
    )
    what = "What each maker is to make, a sheet for each"
    to_makers = Row((Cell(what, link=Link(MAKERS, "", what)), Cell("PDF and CSV")))
    table = Table("Save a file", (Column("What", wide=True), Column("As")), (*rows, to_makers))
    return Document(TOPIC, QUESTION, (Answer(None, told), table), review.project.locale)


def _absent(review: Review) -> Iterator[str]:
    """Files that there are none of: a calendar without dates, an update with nothing to tell."""
    if review.get(DATES) is None:
        yield CALENDAR
    if not draft_of(review).sections:
        yield from (UPDATE_MD, UPDATE_HTML)
