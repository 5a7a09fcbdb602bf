"""“What do buyers want?”: which options belong in which box, who disagrees, what is asked."""

from collections.abc import Iterator

from sixwright.kernel.findings import Finding
from sixwright.kernel.ids import anchor
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.reports.document import Answer as Shown
from sixwright.reports.document import Block, Document, Fold, Heading, Paragraph, Plate
from sixwright.reports.pages.topic import closing, of_topic
from sixwright.reports.pages.voices_tables import (
    boxes_table,
    comments_table,
    option_name,
    options_table,
    sets_table,
    subjects_table,
    words_groups,
)
from sixwright.topics.voices.model import Answer, Group, How, Inputs, NoSets, PollAnswer
from sixwright.topics.voices.pictures import picture_of, spoken_of
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


def page(review: Review) -> Document:
    """The page of voices."""
    inputs, answer = review.inputs_of(VOICES), review.of(VOICES)
    findings = of_topic(review, VOICES.id)
    blocks: tuple[Block, ...] = (
        Shown(review.verdicts[VOICES.id], tuple(answer_sentences(inputs, answer, findings))),
        *voices_blocks(inputs, answer),
        *closing(review, VOICES.id, METHOD, SOURCES),
    )
    return Document(VOICES.id, VOICES.question, blocks, review.project.locale)


def answer_sentences(
    inputs: Inputs, answer: Answer, findings: tuple[Finding, ...]
) -> Iterator[Sentence]:
    """Which options go together, who disagrees, who waits: the first screen."""
    for poll, said in answer.polls.items():
        yield from _together(inputs, poll, said)
    failing = [f for f in findings if f.verdict is Verdict.FAILS and f.accepted is None]
    yield from (finding.message for finding in failing[:3])


def _together(inputs: Inputs, poll: str, said: PollAnswer) -> Iterator[Sentence]:
    """The set that reaches most, and the best one that divides nobody."""
    if inputs.told.polls[poll].kind != "rate" or not said.sets:
        return
    last = [chosen for chosen in said.sets if chosen.size == said.sets[-1].size]
    best = last[0]
    calm = next((chosen for chosen in last if chosen.agreed), None)
    values: dict[str, Value] = {
        "names": Names(tuple(option_name(inputs, poll, o) for o in best.options)),
        "reach": Count(best.reach),
        "all": Count(said.n or 0, "voter", "voters"),
    }
    if calm is None or calm == best:
        yield Sentence("{names} together reach {reach} of {all}.", values)
        return
    values |= {
        "others": Names(tuple(option_name(inputs, poll, o) for o in calm.options)),
        "less": Count(calm.reach),
    }
    yield Sentence(
        "{names} together reach {reach} of {all}; {others}, which divide nobody, reach {less}.",
        values,
    )


def voices_blocks(inputs: Inputs, answer: Answer) -> tuple[Block, ...]:
    """Poll by poll, and then what is spoken of."""
    blocks: list[Block] = []
    for poll, said in answer.polls.items():
        blocks += _poll(inputs, answer, poll, said)
    if inputs.told.comments:
        blocks += _heard(inputs, answer)
    return tuple(blocks)


def _poll(inputs: Inputs, answer: Answer, poll: str, said: PollAnswer) -> Iterator[Block]:
    asked = inputs.told.polls[poll]
    yield Heading(asked.question or poll, f"poll-{poll}")
    picture = picture_of(inputs.told, answer, poll)
    if picture is None:
        yield Paragraph((Sentence("Nobody has answered yet."),))
        return
    yield Plate(picture, tabled=True)
    yield options_table(inputs, poll, said)
    boxes = boxes_table(inputs, answer, poll)
    if boxes is not None:
        yield boxes
    sets = sets_table(inputs, poll, said)
    if sets is not None:
        yield Fold(Sentence("Which options go together"), (sets,), f"sets-{poll}")
    if said.no_sets is NoSets.TALLIES:
        yield Paragraph((Sentence("Totals do not tell who likes two of them at once."),))
    if said.no_sets is NoSets.MANY:
        yield Paragraph((Sentence("There are too many sets of this size to try them all."),))


def _heard(inputs: Inputs, answer: Answer) -> Iterator[Block]:
    yield Heading("What they speak of", "voices-comments")
    picture = spoken_of(inputs.told, answer)
    if picture is not None:
        yield Plate(picture, tabled=True)
        yield subjects_table(inputs, answer)
    for group in answer.groups:
        if group.how is How.SUBJECT:
            yield _group(inputs, group)
    words = words_groups(answer)
    if words:
        yield Heading("Words that no subject has", "voices-words")
        yield from (_group(inputs, group) for group in words)


def _group(inputs: Inputs, group: Group) -> Fold:
    values: dict[str, Value] = {
        "name": Name(group.name),
        "voters": Count(group.voters, "voter", "voters"),
    }
    text = "{name}: {voters}"
    if group.how is How.SUBJECT and group.words:
        values["words"] = Names(group.words[:5])
        text = "{name}: {voters}, also spelt {words}"
    elif len(group.words) > 1:
        values["words"] = Names(group.words[:6])
        text = "{name}: {voters}, as {words}"
    return Fold(
        Sentence(text, values), (comments_table(inputs, group),), f"group-{anchor(group.id)}"
    )
