"""An address that is no page: said in the manner of every other page, with a way home."""

from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Answer, Document, Link, Paragraph
from sixwright.workflows.reviewed import Review

TITLE = "There is no such page"
HOME = Link("home", "", "Go home, to what needs you")


def missing(review: Review) -> Document:
    """The page of an address that leads nowhere."""
    told = Sentence("Nothing of this line is at that address; nothing was changed.")
    home = Paragraph((Sentence("The questions stand in the list of pages."),), (HOME,))
    blocks = (Answer(None, (told,)), home)
    return Document("missing", TITLE, blocks, review.project.locale)
