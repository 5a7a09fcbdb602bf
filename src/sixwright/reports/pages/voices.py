"""“What do buyers want?”: which options belong in which box, who disagrees, what is asked."""

from collections.abc import Iterator
from datetime import date

from sixwright.kernel.ids import anchor
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.reports.document import Answer as Shown
from sixwright.reports.document import Block, Document, Fold, Heading, Paragraph, Plate
from sixwright.reports.pages.topic import closing, of_topic
from sixwright.reports.pages.voices_said import first_screen
from sixwright.reports.pages.voices_tables import (
    boxes_table,
    comments_table,
    options_table,
    placing_tables,
    sets_table,
    subjects_table,
    words_groups,
    words_table,
)
from sixwright.topics.voices.model import Answer, CommentGroup, GroupedBy, Inputs, PollAnswer
from sixwright.topics.voices.pictures import picture_of, spoken_of
from sixwright.topics.voices.sets_model import NoSets
from sixwright.topics.voices.sources import SOURCES
from sixwright.topics.voices.topic import VOICES
from sixwright.workflows.reviewed import Review

METHOD = (
    Sentence(
        "A voter counts once, with their latest answer; comments count by voter, not by post."
    ),
    Sentence(
        "Intervals are at 95 %: Wilson’s for a poll that is closed, Robbins’s while it is open."
    ),
    Sentence("Agreement is 1 where all are on one level, 0 spread evenly, −1 half at each end."),
    Sentence("All sets are tried; reach is who likes one of them or more."),
    Sentence("Subjects are found by your own words; groups also by spelling and by shared words."),
)


def page(review: Review, since: date | None = None) -> Document:
    """The page of voices; what came after the day of the last look is new, where that is known."""
    inputs, answer = review.inputs_of(VOICES), review.of(VOICES)
    findings = of_topic(review, VOICES.id)
    blocks: tuple[Block, ...] = (
        Shown(review.verdicts[VOICES.id], tuple(first_screen(inputs, answer, findings))),
        *voices_blocks(inputs, answer, since),
        *closing(review, VOICES.id, METHOD, SOURCES),
    )
    return Document(VOICES.id, VOICES.question, blocks, review.project.locale)


def voices_blocks(inputs: Inputs, answer: Answer, since: date | None) -> tuple[Block, ...]:
    """Poll by poll, and then what is spoken of."""
    blocks: list[Block] = []
    for poll, said in answer.polls.items():
        blocks += _poll(inputs, answer, poll, said)
    if inputs.told.comments:
        blocks += _heard(inputs, answer, since)
    return tuple(blocks)


def _poll(inputs: Inputs, answer: Answer, poll: str, said: PollAnswer) -> Iterator[Block]:
    asked = inputs.told.polls[poll]
    picture = picture_of(inputs.told, answer, poll)
    if picture is None:
        yield Heading(asked.question or poll, f"poll-{poll}")
        yield Paragraph((Sentence("Nobody has answered yet."),))
        return
    yield Plate(picture, tabled=True)
    yield options_table(inputs, poll, said)
    boxes = boxes_table(inputs, answer, poll)
    if boxes is not None:
        yield boxes
    yield from placing_tables(inputs, answer, poll)
    sets = sets_table(inputs, poll, said)
    if sets is not None:
        yield Fold(Sentence("Which options go together"), (sets,), f"sets-{poll}")
    if said.no_sets is NoSets.TALLIES:
        yield Paragraph((Sentence("Totals do not tell who likes two of them at once."),))
    if said.no_sets is NoSets.MANY:
        yield Paragraph((Sentence("There are too many sets of this size to try them all."),))


def _heard(inputs: Inputs, answer: Answer, since: date | None) -> Iterator[Block]:
    picture = spoken_of(inputs.told, answer)
    if picture is not None:
        yield Plate(picture, tabled=True)
        yield subjects_table(inputs, answer, since)
    spoken = [group for group in answer.groups if group.how is GroupedBy.SUBJECT]
    for group in sorted(spoken, key=lambda each: -each.voters):
        yield _group(inputs, group)
    words = words_groups(answer)
    if words:
        yield words_table(words)
    yield from (_group(inputs, group) for group in words)


def _group(inputs: Inputs, group: CommentGroup) -> Fold:
    values: dict[str, Value] = {
        "name": Name(group.name),
        "voters": Count(group.voters, "voter", "voters"),
    }
    text = "{name}: {voters}"
    if group.how is GroupedBy.SUBJECT and group.words:
        values["words"] = Names(group.words[:5])
        text = "{name}: {voters}, also spelt {words}"
    elif len(group.words) > 1:
        values["words"] = Names(group.words[:6])
        text = "“{name}”: {voters}, also as {words}, on no subject of yours"
    elif group.how is not GroupedBy.SUBJECT:
        text = "“{name}”: {voters}, on no subject of yours"
    inside = (comments_table(inputs, group),)
    return Fold(Sentence(text, values), inside, f"group-{anchor(group.id)}", to_work=True)
