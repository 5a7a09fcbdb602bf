"""The documents: home, and one a topic that is built."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Answer, Document, Fold
from sixwright.reports.pages.choices import choices
from sixwright.reports.pages.home import home
from sixwright.reports.pages.likeness import likeness
from sixwright.reports.pages.lineup import lineup
from sixwright.reports.pages.money import money
from sixwright.workflows.review import Review
from sixwright.workflows.topics import BY_ID

# Each makes its topic's document from the review and that topic's answer.
PAGES: Mapping[str, Callable[[Review, Any], Document]] = {
    "lineup": lineup,
    "likeness": likeness,
    "money": money,
    "choices": choices,
}


def document(review: Review, topic: str) -> Document:
    """The document of one topic, or of ``home``; a topic of which the line has nothing says so."""
    if topic == "home":
        return home(review)
    if topic not in review.answers:
        told = Sentence("This line has nothing yet that this question is about.")
        question = BY_ID[topic].question
        return Document(topic, question, (Answer(None, (told,)),), review.project.locale)
    return PAGES[topic](review, review.answers[topic])


def documents(review: Review) -> tuple[Document, ...]:
    """Home and then every topic that was judged, in the order of the spine."""
    judged = [topic for topic in review.verdicts if topic in PAGES]
    return tuple(to_read(document(review, topic)) for topic in ("home", *judged))


def to_read(shown: Document) -> Document:
    """A document without what is only there to be dealt with on a page."""
    blocks = tuple(
        block for block in shown.blocks if not (isinstance(block, Fold) and block.to_work)
    )
    return replace(shown, blocks=blocks)
