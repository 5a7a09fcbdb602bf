"""The sculptor's page: what to change on a round, made of its asks alone, as it leaves the house.

It holds the asks, their pictures and what is right already: no price, margin, vote or note.
"""

from collections.abc import Iterator

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.line.likeness import SculptAsk
from sixwright.reports.asking import AskCard, AskCards
from sixwright.reports.document import Answer, Block, Document, Paragraph
from sixwright.topics.likeness.model import RoundAnswer
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.reviewed import Review
from sixwright.workflows.sculptor import MOST, asks_of

TOPIC = "sculptor"
HOW = (
    Sentence("Left and right are the figure’s own; millimetres are at 1:6."),
    Sentence("The range in brackets is what the stills leave open."),
    Sentence("Arrows are three times as long as the move."),
)
ANSWER = Sentence("Please answer each: yes, no, or what it would cost, and send this page back.")
CAUTION = Sentence(
    "Pictures are for this work only: do not pass them on. Whether a likeness or a still may be "
    "used is for someone licensed to say; this page does not."
)
STATES = {"yes": "Answered yes", "done": "Said to be done", "part": "Said to be done in part"}


def round_of(review: Review, round_: str) -> RoundAnswer | None:
    """The answer of a round; None where it is not known."""
    answer = review.get(LIKENESS)
    if answer is None:
        return None
    return next((one for one in answer.rounds if one.round == round_), None)


def rounds_asked(review: Review) -> tuple[str, ...]:
    """The rounds about which something is asked, in the folder's order."""
    return tuple(
        one.round
        for one in (review.of(LIKENESS).rounds if review.get(LIKENESS) is not None else ())
        if asks_of(review.project, one.round)
    )


def sculptor_sheet(review: Review, round_: str) -> Document | None:
    """The page of what is asked about a round; None where nothing is.

    Parameters
    ----------
    review
        What was judged.
    round_
        Id of the round.
    """
    one = round_of(review, round_)
    asks = asks_of(review.project, round_)[:MOST]
    if one is None or not asks:
        return None
    maker = review.project.rounds[round_].maker
    blocks: tuple[Block, ...] = (
        Answer(None, (_lead(review, one, len(asks)),)),
        Paragraph((ANSWER, *HOW)),
        AskCards(tuple(_cards(review, one, asks))),
        Paragraph(_left_alone(one, asks)),
        Paragraph((CAUTION,)),
    )
    title = f"What to change: {one.name}" + (f" (for {maker})" if maker else "")
    return Document(TOPIC, title, blocks, review.project.locale)


def _lead(review: Review, one: RoundAnswer, count: int) -> Sentence:
    part = review.project.parts.get(review.project.sculpts[one.sculpt].part or "")
    values: dict[str, Value] = {
        "count": Count(count, "change", "changes"),
        "head": Name(one.name),
    }
    if part is None or not part.name:
        return Sentence("{count} on {head}.", values)
    return Sentence("{count} on {head}, the sculpt of {part}.", values | {"part": Name(part.name)})


def _cards(review: Review, one: RoundAnswer, asks: tuple[SculptAsk, ...]) -> Iterator[AskCard]:
    from sixwright.topics.likeness.ask_pictures import ask_drawing, ask_shots

    shots = ask_shots(review.inputs_of(LIKENESS), review.of(LIKENESS))
    for number, ask in enumerate(asks, start=1):
        shot = shots.get(ask.id)
        drawing = None if shot else ask_drawing(one, ask)
        caption = drawing.caption if drawing else ""
        summary = f"The place on the sculpt, with an arrow where it is to go: {ask.words}"
        yield AskCard(number, ask.words or ask.subject or ask.id, STATES.get(ask.state, ""), shot,
                      drawing, drawing.summary if drawing else summary, caption)  # fmt: skip


def _left_alone(one: RoundAnswer, asks: tuple[SculptAsk, ...]) -> tuple[Sentence, ...]:
    """What is right, by name; and that the rest stays too."""
    from sixwright.topics.likeness.rounds.ask_outcomes import keys_of

    asked = {key for ask in asks for key in keys_of(ask)}
    right = tuple(
        f"the {feature.name}"
        for feature in one.features
        if feature.verdict is Verdict.HOLDS and not asked & set(feature.landmarks)
    )
    rest = Sentence("Leave everything else as it is, also where nothing is said of it.")
    if not right:
        return (rest,)
    return (Sentence("Right already: {names}.", {"names": Names(right)}), rest)
