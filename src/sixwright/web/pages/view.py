"""What a page's template is given, and nothing else: one contract for all pages."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from sixwright.reports.document import Document, Link
from sixwright.reports.pages.errors import LOCALE, errors
from sixwright.reports.pages.windows import Windows, windowed
from sixwright.reports.spine import Colophon, Spine, colophon, spine
from sixwright.web.history import WaysBack
from sixwright.web.watched_folder import State
from sixwright.workflows.reviewed import Review

# The pages beside the questions: the folder's own tables, and what became of it.
BESIDE = (
    ("/sculpts", "What has the sculptor delivered?"),
    ("/stills", "What do the stills show?"),
    ("/tables", "What stands in the folder?"),
    ("/history", "Who changed what, and when?"),
    ("/makers", "What goes to whom?"),
    ("/report", "What goes on paper?"),
    ("/docs", "How is it worked out?"),
)
Make = Callable[[Review], Document]
ALL_FIRST = Windows()


@dataclass(frozen=True, slots=True)
class View:
    """The context of `page.html.j2`.

    Attributes
    ----------
    title
        The line's name; the folder's where it cannot be read.
    path
        Address of the page.
    spine, colophon
        None where the folder cannot be read.
    locale
        Of the line.
    version
        Of the state that is shown.
    """

    title: str
    path: str
    document: Document
    spine: Spine | None
    colophon: Colophon | None
    locale: str
    version: str

    def context(
        self, *, has_client: bool, token: str, who: str, ways_back: WaysBack
    ) -> Mapping[str, object]:
        """The names that the template uses."""
        return {
            "title": self.title,
            "path": self.path,
            "document": self.document,
            "spine": self.spine,
            "beside": BESIDE,
            "colophon": self.colophon,
            "version": self.version,
            "has_client": has_client,
            "token": token,
            "who": who,
            "ways_back": ways_back,
            "trying": None,
            "tried": 0,
        }


def view(state: State, make: Make, *, path: str, folder: str, windows: Windows = ALL_FIRST) -> View:
    """The view of one page; of the errors where the folder has some.

    Parameters
    ----------
    state
        The folder as it stands.
    make
        Makes the page's document from the review.
    path
        The page's address.
    folder
        The folder's name.
    windows
        Which rows of long tables are wanted.
    """
    review = state.review
    if review is None:
        told = errors(state.problems, folder=folder)
        return View(folder, path, told, None, None, LOCALE, state.version)
    locale = review.project.locale
    shown = windowed(make(review), windows)
    return View(
        title=review.project.name,
        path=path,
        document=shown,
        spine=spine(review, current=shown.topic, href=address),
        colophon=colophon(folder=folder, inputs=state.inputs, today=review.today, locale=locale),
        locale=locale,
        version=state.version,
    )


def nothing_yet(document: Document, state: State, *, path: str, folder: str) -> View:
    """The view of a folder without a line."""
    return View(folder, path, document, None, None, LOCALE, state.version)


def address(topic: str) -> str:
    """The path of a topic's page."""
    return "/" if topic == "home" else f"/{topic}"


def link_address(link: Link) -> str:
    """Where a link leads: a page and a place on it."""
    return f"{address(link.topic)}#{link.anchor}" if link.anchor else address(link.topic)
