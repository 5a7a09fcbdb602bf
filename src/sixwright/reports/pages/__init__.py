"""The documents: home, and one a topic that is built."""

from collections.abc import Callable, Mapping
from typing import Any

from sixwright.reports.document import Document
from sixwright.reports.pages.choices import choices
from sixwright.reports.pages.home import home
from sixwright.reports.pages.likeness import likeness
from sixwright.reports.pages.lineup import lineup
from sixwright.reports.pages.money import money
from sixwright.workflows.review import Review

# Each makes its topic's document from the review and that topic's answer.
PAGES: Mapping[str, Callable[[Review, Any], Document]] = {
    "lineup": lineup,
    "likeness": likeness,
    "money": money,
    "choices": choices,
}


def document(review: Review, topic: str) -> Document:
    """The document of one topic, or of ``home``."""
    return home(review) if topic == "home" else PAGES[topic](review, review.answers[topic])


def documents(review: Review) -> tuple[Document, ...]:
    """Home and then every topic that was judged, in the order of the spine."""
    judged = [topic for topic in review.verdicts if topic in PAGES]
    return tuple(document(review, topic) for topic in ("home", *judged))
