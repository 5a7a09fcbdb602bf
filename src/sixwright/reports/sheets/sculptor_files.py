"""The sculptor's page as files: HTML, PDF and PNG, the same words in each."""

from sixwright.reports import fonts
from sixwright.reports.document import Document
from sixwright.reports.html import (
    ASSETS,
    MakePhoto,
    environment,
    in_file,
    in_report,
    no_photo,
    style_sheet,
)
from sixwright.reports.paper.document_data import Data, print_data
from sixwright.reports.paper.tables import Paper
from sixwright.reports.paper.typeset import Printed, language, paper_of, print_pdf, print_png
from sixwright.reports.report_files import Files, unclaimed
from sixwright.reports.sheets.sculptor_sheet import rounds_asked, sculptor_sheet
from sixwright.reports.wording.words import day
from sixwright.workflows.reviewed import Review

PREFIX = "sculptor-"
KINDS = ("html", "pdf", "png")
PICTURE = Paper("", 500.0, 500.0)


def sculptor_file_name(round_: str, kind: str) -> str:
    """The name of one of its files: ``sculptor-muster-2.pdf``."""
    return f"{PREFIX}{round_}.{kind}"


def sculptor_file(review: Review, name: str, photos: MakePhoto = no_photo) -> bytes | None:
    """One of its files, by its name; None where there is none such."""
    stem, _, kind = name.removeprefix(PREFIX).rpartition(".")
    shown = sculptor_sheet(review, stem) if kind in KINDS else None
    if shown is None:
        return None
    match kind:
        case "html":
            return sculptor_html(review, shown, photos).encode()
        case "pdf":
            return sculptor_pdf(review, shown, photos).content
        case _:
            data = _data(review, shown, PICTURE, photos)
            return print_png("sheet.typ", data, today=review.today)


def sculptor_files(review: Review, photos: MakePhoto = no_photo) -> Files:
    """The files of every round about which something is asked."""
    made: dict[str, bytes] = {}
    claimed: dict[str, Printed] = {}
    for round_ in rounds_asked(review):
        shown = sculptor_sheet(review, round_)
        if shown is None:
            continue
        name = sculptor_file_name(round_, "pdf")
        claimed[name] = sculptor_pdf(review, shown, photos)
        made[name] = claimed[name].content
        for kind in ("html", "png"):
            other = sculptor_file_name(round_, kind)
            made[other] = sculptor_file(review, other, photos) or b""
    return Files(made, tuple(unclaimed(claimed)))


def sculptor_html(review: Review, shown: Document, photos: MakePhoto) -> str:
    """The page as one HTML file that needs nothing beside it."""
    made = environment(locale=shown.locale, href=in_report, photo=in_file(photos))
    template = made.get_template("sheet.html.j2")
    context: dict[str, object] = {
        "title": _title(review, shown),
        "document": shown,
        "date": day(review.today, shown.locale),
        "css": style_sheet() + (ASSETS / "sheet.css").read_text(encoding="utf-8"),
        "fonts": "",
    }
    needed = fonts.embedded(template.render(context))
    return template.render(context | {"fonts": needed})


def sculptor_pdf(review: Review, shown: Document, photos: MakePhoto) -> Printed:
    """The page as a tagged PDF on the paper of the line's locale."""
    data = _data(review, shown, paper_of(shown.locale), photos)
    return print_pdf("sheet.typ", data, today=review.today)


def _title(review: Review, shown: Document) -> str:
    return f"{shown.title}, {day(review.today, shown.locale)}"


def _data(review: Review, shown: Document, paper: Paper, photos: MakePhoto) -> Data:
    head: dict[str, object] = {
        "title": _title(review, shown),
        "name": shown.title,
        "date": day(review.today, shown.locale),
        "paper": paper.name,
        "width": paper.upright_pt,
        **language(shown.locale),
    }
    return print_data((shown,), paper=paper, locale=shown.locale, head=head, photos=photos)
