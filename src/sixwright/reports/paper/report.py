"""The report on paper: the pages' documents, as they are, in one tagged PDF."""

from collections.abc import Mapping

from sixwright.reports.html import MakePhoto, no_photo
from sixwright.reports.pages import printed
from sixwright.reports.pages.makers import FOR_THE_HOUSE
from sixwright.reports.paper.document_data import mark, print_data
from sixwright.reports.paper.typeset import Printed, language, paper_of, print_pdf
from sixwright.reports.spine import colophon, spine
from sixwright.reports.wording.words import say
from sixwright.workflows.reviewed import Review


def report_pdf(
    review: Review, *, folder: str, inputs: Mapping[str, str], photos: MakePhoto = no_photo
) -> Printed:
    """The whole review as a PDF, in the words of its HTML report.

    Parameters
    ----------
    review
        What was judged.
    folder
        The folder's name, for the foot of each page.
    inputs
        File, relative, to the SHA-256 of its bytes.
    photos
        Draws pictures made of points.
    """
    locale = review.project.locale
    paper = paper_of(locale)
    imprint = colophon(folder=folder, inputs=inputs, today=review.today, locale=locale)
    shown = printed(review)
    topics = {document.topic for document in shown}
    state = spine(review, current="home", href=lambda topic: topic)
    head: dict[str, object] = {
        "title": f"{state.name}, {imprint.date}",
        "name": state.name,
        "sub": state.sub,
        "face": say(FOR_THE_HOUSE, locale),
        "foot": imprint.words,
        "paper": paper.name,
        **language(locale),
        "groups": [
            {
                "name": group.name,
                "entries": [
                    {
                        "question": entry.question,
                        "to": entry.topic if entry.topic in topics else "",
                        **mark(entry.verdict),
                    }
                    for entry in group.entries
                ],
            }
            for group in state.groups
        ],
    }
    data = print_data(shown, paper=paper, locale=locale, head=head, photos=photos)
    return print_pdf("report.typ", data, today=review.today)
