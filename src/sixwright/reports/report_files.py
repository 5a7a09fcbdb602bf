"""Every file of the report, made in memory: the line for its producer, the sheet for buyers."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sixwright.kernel.sentences import Count, Sentence
from sixwright.reports.html import MakePhoto, no_photo, report_html
from sixwright.reports.paper.report import report_pdf
from sixwright.reports.paper.typeset import Printed
from sixwright.reports.sheets.buyers_sheet import buyers_sheet
from sixwright.reports.sheets.buyers_sheet_files import DatedSheet, sheet_html, sheet_pdf, sheet_png
from sixwright.reports.sheets.calendar_file import NAME as CALENDAR
from sixwright.reports.sheets.calendar_file import calendar_file
from sixwright.reports.sheets.update import UPDATE_HTML, UPDATE_MD, update_html, update_markdown
from sixwright.reports.wording.evidence import open_findings
from sixwright.reports.wording.words import say
from sixwright.topics.care.cautions import not_stated
from sixwright.topics.dates.said import to_say
from sixwright.topics.dates.topic import DATES
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.voices.topic import VOICES
from sixwright.workflows.reviewed import Review
from sixwright.workflows.update_draft import Draft, update_draft

NO_SHEET = (
    "contents.* were not made: what is in each box could not be worked out, through a fault of "
    "sixwright that the report tells."
)


@dataclass(frozen=True, slots=True)
class Files:
    """The files, by name, and what their reader should know before they are handed on."""

    contents: Mapping[str, bytes]
    notices: tuple[str, ...]


def report_files(
    review: Review, *, folder: str, inputs: Mapping[str, str], photos: MakePhoto = no_photo
) -> Files:
    """Make every file of the report; the same review makes the same bytes.

    Parameters
    ----------
    review
        What was judged, of all topics.
    folder
        The folder's name, for the foot of each page.
    inputs
        File, relative, to the SHA-256 of its bytes.
    photos
        Draws pictures made of points.

    Raises
    ------
    InternalError
        If a template does not take its data.
    """
    line = report_pdf(review, folder=folder, inputs=inputs, photos=photos)
    contents = {
        "report.html": report_html(review, folder=folder, inputs=inputs, photos=photos).encode(),
        "report.pdf": line.content,
    }
    dates = calendar_file(review)
    if dates is not None:
        contents[CALENDAR] = dates
    contents |= update_files(review)
    claimed = {"report.pdf": line}
    boxes = review.get(LINEUP)
    if boxes is None:
        return Files(contents, (*unclaimed(claimed), NO_SHEET))
    sheet = DatedSheet(buyers_sheet(review.project, boxes), review.today)
    claimed["contents.pdf"] = sheet_pdf(sheet)
    contents |= {
        "contents.html": sheet_html(sheet).encode(),
        "contents.png": sheet_png(sheet),
        "contents.pdf": claimed["contents.pdf"].content,
    }
    return Files(contents, (*unclaimed(claimed), *_announced(review), *_cautions(review)))


def update_files(review: Review) -> dict[str, bytes]:
    """The draft of the next update, as Markdown and HTML; none of a line with nothing to tell.

    Parameters
    ----------
    review
        What was judged, of all topics.
    """
    draft = draft_of(review)
    if not draft.sections:
        return {}
    return {UPDATE_MD: update_markdown(draft).encode(), UPDATE_HTML: update_html(draft).encode()}


def draft_of(review: Review) -> Draft:
    """The draft of the next update; without sections where there is nothing to tell."""
    heard, dates = review.get(VOICES), review.get(DATES)
    return update_draft(
        review.project,
        (review.inputs_of(VOICES), heard) if heard is not None else None,
        since=review.project.told_on,
        today=review.today,
        dates=() if dates is None else to_say(review.inputs_of(DATES), dates),
    )


def unclaimed(printed: Mapping[str, Printed]) -> Iterator[str]:
    """A sentence on each print that claims no standard."""
    for name, each in printed.items():
        if not each.standards:
            yield (
                f"{name} holds letters that none of the fonts here can show, so it does not claim "
                "PDF/UA-1 and PDF/A-2a. Install a font that has them and run this again."
            )


def _announced(review: Review) -> tuple[str, ...]:
    """That the sheet says what is in the boxes, where something else was announced."""
    broken = [each for each in open_findings(review.findings) if each.rule == "announced"]
    if not broken:
        return ()
    sentence = Sentence(
        "Before you post contents.*: it counts what is in the boxes, and {count} made in public "
        "cannot be seen there.",
        {"count": Count(len(broken), "announcement", "announcements")},
    )
    return (say(sentence, review.project.locale),)


def _cautions(review: Review) -> tuple[str, ...]:
    """That the sheet can warn of nothing that nobody has stated."""
    held = review.of(LINEUP).contents.values()
    silent = {part for each in held for part in not_stated(review.project.parts, each)}
    if not silent:
        return ()
    sentence = Sentence(
        "Before you post contents.*: its cautions are those that you state, and small parts by "
        "their size; of {count} nothing is stated yet.",
        {"count": Count(len(silent), "part", "parts")},
    )
    return (say(sentence, review.project.locale),)
