"""The documents: home, and one a topic. A topic's page is the module here of its own name."""

from collections.abc import Callable
from dataclasses import replace
from importlib import import_module

from sixwright.kernel.sentences import Sentence
from sixwright.reports.date_ask import DateAsk
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Fold,
    Items,
    Paragraph,
)
from sixwright.reports.pages.beginnings import beginning
from sixwright.reports.pages.home import home
from sixwright.reports.pages.methods import with_methods
from sixwright.reports.pages.published import to_leave
from sixwright.reports.pages.topic import of_topic
from sixwright.reports.pages.windows import Windows, windowed
from sixwright.reports.under_way import UnderWay
from sixwright.reports.wording.evidence import item, open_findings
from sixwright.workflows.faults import fault
from sixwright.workflows.reviewed import Review
from sixwright.workflows.topics import BY_ID

Page = Callable[[Review], Document]


def page_of(topic: str) -> Page:
    """What draws a topic's page: `page` of the module that bears its name."""
    made: Page = import_module(f"{__name__}.{topic}").page
    return made


def document(review: Review, topic: str, draw: Page | None = None) -> Document:
    """The document of one topic, or of ``home``; one of which the line has nothing says so.

    Parameters
    ----------
    draw
        Draws it, where that rests on more than the review.
    """
    if topic == "home":
        return home(review)
    asked, locale = BY_ID[topic], review.project.locale
    if topic not in review.verdicts:
        told = Sentence("This line has nothing yet that this question is about.")
        blocks: tuple[Block, ...] = (Answer(None, (told,)), *beginning(topic))
        return Document(topic, asked.question, blocks, locale)
    if review.get(asked) is None or (asked.takes_all and _awaited(review, topic)):
        return _without_answer(review, topic)
    try:
        shown = with_methods((draw or page_of(topic))(review))
        is_behind = topic in review.pending or topic in review.stopped
        return _with_word(shown, stopped=topic in review.stopped) if is_behind else shown
    except Exception as error:  # noqa: BLE001  one page's fault must not take the others away
        return _undrawn(review, topic, error)


def _with_word(shown: Document, *, stopped: bool) -> Document:
    """A page whose question is being worked out anew: what stands there is the last answer."""
    word = Sentence(
        "This is being worked out with your last change. What stands here is the answer before "
        "it; the new one follows by itself."
    )
    if stopped:
        word = Sentence(
            "Working this out with your last change was stopped. What stands here is the answer "
            "before it."
        )
    way = UnderWay(shown.topic, stopped)
    return replace(shown, blocks=(Paragraph((word,)), way, *shown.blocks))


def _undrawn(review: Review, topic: str, error: Exception) -> Document:
    """A page that could not be drawn: what is judged all the same, and what to report."""
    told = fault(BY_ID[topic], review.project.id, error)
    found = tuple(item(finding) for finding in open_findings(of_topic(review, topic)))
    blocks = (Answer(review.verdicts[topic], (told.message,)), Items((item(told), *found)))
    return Document(topic, BY_ID[topic].question, blocks, review.project.locale)


def _without_answer(review: Review, topic: str) -> Document:
    """The page of a question without an answer: it is on its way, or what happened instead."""
    question, locale = BY_ID[topic].question, review.project.locale
    awaited = _awaited(review, topic)
    if awaited is not None:
        words = "This is being worked out; the answer follows here by itself."
        if awaited.stopped:
            words = "Working this out was stopped; there is no answer yet."
        answer = Answer(review.verdicts[topic], (Sentence(words),))
        return Document(topic, question, (answer, awaited), locale)
    told = Sentence("This could not be answered.")
    found = tuple(item(finding) for finding in of_topic(review, topic))
    return Document(
        topic, question, (Answer(review.verdicts[topic], (told,)), Items(found)), locale
    )


def _awaited(review: Review, topic: str) -> UnderWay | None:
    """The answer that a page waits for: its own, or one that it looks at beside it."""
    for awaited, is_stopped in ((review.pending, False), (review.stopped, True)):
        if topic in awaited:
            return UnderWay(topic, is_stopped)
        if BY_ID[topic].takes_all and awaited:
            return UnderWay(min(awaited), is_stopped)
    return None


def documents(review: Review) -> tuple[Document, ...]:
    """Home and then every topic that was judged, in the order of the questions."""
    shown = (to_read(document(review, topic)) for topic in ("home", *review.verdicts))
    return tuple(to_leave(each, review.project) for each in shown)


def printed(review: Review) -> tuple[Document, ...]:
    """The same for a report, which shows no more than the first rows of very long tables."""
    return tuple(windowed(each, Windows(printed=True)) for each in documents(review))


def to_read(shown: Document) -> Document:
    """A document without what is only there to be dealt with on a page."""
    return replace(shown, blocks=_to_read(shown.blocks))


def _to_read(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """Blocks without those, at whatever depth they are folded away."""
    return tuple(
        replace(block, blocks=_to_read(block.blocks)) if isinstance(block, Fold) else block
        for block in blocks
        if not _is_work(block)
    )


def _is_work(block: Block) -> bool:
    return isinstance(block, DateAsk) or (isinstance(block, Fold) and block.to_work)
