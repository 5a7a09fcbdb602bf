"""What a page's template is given, and nothing else: one contract for all pages."""

from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.reports.document import Document, Link
from sixwright.reports.pages import document
from sixwright.reports.pages.errors import LOCALE, errors
from sixwright.reports.spine import Colophon, Spine, colophon, spine
from sixwright.web.live import State


@dataclass(frozen=True, slots=True)
class View:
    """The context of `page.html.j2`.

    Attributes
    ----------
    title
        The line's name; the folder's where it cannot be read.
    spine, colophon
        None where the folder cannot be read.
    locale
        Of the line.
    """

    title: str
    document: Document
    spine: Spine | None
    colophon: Colophon | None
    locale: str

    def context(self, *, has_client: bool) -> Mapping[str, object]:
        """The names that the template uses."""
        return {
            "title": self.title,
            "document": self.document,
            "spine": self.spine,
            "colophon": self.colophon,
            "has_client": has_client,
        }


def view(state: State, topic: str, *, folder: str) -> View:
    """The view of one topic, or of home; of the errors where the folder has some.

    Parameters
    ----------
    state
        The folder as it stands.
    topic
        A topic's id, or ``home``.
    folder
        The folder's name.
    """
    review = state.review
    if review is None:
        return View(folder, errors(state.problems, folder=folder), None, None, LOCALE)
    locale = review.project.locale
    return View(
        title=review.project.name,
        document=document(review, topic),
        spine=spine(review, current=topic, href=address),
        colophon=colophon(folder=folder, inputs=state.inputs, today=review.today, locale=locale),
        locale=locale,
    )


def address(topic: str) -> str:
    """The path of a topic's page."""
    return "/" if topic == "home" else f"/{topic}"


def link_address(link: Link) -> str:
    """Where a link leads: a page and a place on it."""
    return f"{address(link.topic)}#{link.anchor}" if link.anchor else address(link.topic)
