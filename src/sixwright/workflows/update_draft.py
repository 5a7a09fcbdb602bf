"""A draft of the next update for the public, from the record since the last one.

It says what came, what was decided and why, what was voted and what is asked, and what may still
change. It holds no ids, costs, makers or voters. The producer edits it; nothing is sent.
"""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sixwright.kernel.sentences import Count, Name, Names, Sentence, Share, Value
from sixwright.line.likeness import Still
from sixwright.line.voices import Poll
from sixwright.project.choices import open_choices
from sixwright.project.model import Project
from sixwright.topics.voices.model import Answer, Inputs, OptionAnswer, PollAnswer, Word

LEAST_ASKED = 2  # voters; a single question is answered where it was asked


@dataclass(frozen=True, slots=True)
class Section:
    """A few sentences under a heading."""

    title: str
    sentences: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class Draft:
    """What could be told.

    Attributes
    ----------
    since
        The day of the update before, or None.
    sections
        Those that have something to say.
    stills
        Pictures that may be published.
    """

    line: str
    locale: str
    since: dt.date | None
    today: dt.date
    sections: tuple[Section, ...]
    stills: tuple[Still, ...]


def update_draft(
    project: Project,
    heard: tuple[Inputs, Answer] | None,
    *,
    since: dt.date | None,
    today: dt.date,
    dates: tuple[Sentence, ...] = (),
) -> Draft:
    """What happened since the last update, as sentences for the public.

    Parameters
    ----------
    project
        The line.
    heard
        Votes and comments, and what was computed of them; None of a line without any.
    since
        Only what happened after this day; None: all.
    today
        Nothing after this day.
    dates
        What can be said of dates.

    Raises
    ------
    KeyError
        If the answer is not of these inputs.

    Source
    ------
    docs/topics/voices.md, “What to tell them”.
    """
    told = {
        "What came": tuple(_rounds(project, since, today)),
        "What we decided": tuple(_taken(project, since, today)),
        "What you voted": tuple(_votes(project, heard, since, today)),
        "What you asked": tuple(_asked(heard)),
        "Dates": dates,
        "What may still change": tuple(_open(project, heard, today)),
    }
    return Draft(
        line=project.name,
        locale=project.locale,
        since=since,
        today=today,
        sections=tuple(Section(title, said) for title, said in told.items() if said),
        stills=tuple(
            still for still in project.stills.values() if still.may_publish and still.file
        ),
    )


def _within(day: dt.date | None, since: dt.date | None, today: dt.date) -> bool:
    return day is not None and day <= today and (since is None or day > since)


def _rounds(project: Project, since: dt.date | None, today: dt.date) -> Iterator[Sentence]:
    for each in project.rounds.values():
        if not _within(each.date, since, today) or each.date is None:
            continue
        sculpt = project.sculpts.get(each.sculpt)
        part = project.parts.get(sculpt.part) if sculpt and sculpt.part else None
        values: dict[str, Value] = {
            "head": Name((part.own_name if part else "") or "A head"),
            "day": each.date,
        }
        words = "{head}: a round came on {day}."
        if each.number is not None:
            values["round"] = Count(each.number)
            words = "{head}: round {round} came on {day}."
        if each.remark:
            values["remark"] = each.remark
            words += " {remark}"
        yield Sentence(words, values)


def _taken(project: Project, since: dt.date | None, today: dt.date) -> Iterator[Sentence]:
    for choice in project.choices.values():
        taken = choice.taken
        if taken is None or not _within(taken.date, since, today):
            continue
        way = choice.alternative(taken.alternative)
        values: dict[str, Value] = {
            "question": choice.question,
            "way": Name(way.name if way and way.name else "decided"),
        }
        if taken.reason:
            values["reason"] = taken.reason.rstrip(".")
            yield Sentence("{question} {way}: {reason}.", values)
        else:
            yield Sentence("{question} {way}.", values)


def _votes(
    project: Project, heard: tuple[Inputs, Answer] | None, since: dt.date | None, today: dt.date
) -> Iterator[Sentence]:
    """Polls that closed since then: who leads, what divides, and where it is in the boxes."""
    if heard is None:
        return
    inputs, answer = heard
    for poll, said in answer.polls.items():
        asked = inputs.told.polls[poll]
        if not _within(asked.closed, since, today):
            continue
        best = _leading(said)
        if best is None:
            continue
        yield _first(inputs, asked, said, best)
        for option, found in said.options.items():
            told = found.everyone
            if told.word is Word.DIVIDED:
                yield _divides(inputs, poll, option, found)
            yield from _where(project, inputs, poll, option)


def _leading(said: PollAnswer) -> str | None:
    def height(option: str) -> float:
        told = said.options[option].everyone
        found = told.share or told.mean or told.strength
        return float(found.value) if found else float("-inf")

    known = [option for option in said.options if height(option) > float("-inf")]
    return max(known, key=height, default=None)


def _option(inputs: Inputs, poll: str, option: str) -> Name:
    return Name(inputs.told.options[poll, option].name or option)


def _first(inputs: Inputs, asked: Poll, said: PollAnswer, best: str) -> Sentence:
    told = said.options[best].everyone
    values: dict[str, Value] = {
        "question": asked.question or "Your votes.",
        "option": _option(inputs, asked.id, best),
        "voters": Count(told.n or 0, "of you", "of you"),
    }
    if told.share is not None:
        values |= _shares(told.share.value, told.share.low, told.share.high)
        return Sentence(
            "{question} {option} is ahead with {share} ({low} to {high}) of {voters}.", values
        )
    if told.top is not None:
        values["share"] = Share(told.top, 0)
        return Sentence("{question} {option} is ahead: {share} of {voters} want it.", values)
    return Sentence("{question} {option} is ahead among {voters}.", values)


def _shares(value: object, low: object, high: object) -> dict[str, Value]:
    return {
        name: Share(float(number), 0)  # type: ignore[arg-type]
        for name, number in (("share", value), ("low", low), ("high", high))
    }


def _divides(inputs: Inputs, poll: str, option: str, found: OptionAnswer) -> Sentence:
    told = found.everyone
    values: dict[str, Value] = {"option": _option(inputs, poll, option)}
    if told.top is not None and told.bottom is not None:
        values |= {"top": Share(told.top, 0), "bottom": Share(told.bottom, 0)}
        return Sentence("{option} divides you: {top} want it, {bottom} do not.", values)
    return Sentence("{option} divides you about in half.", values)


def _where(project: Project, inputs: Inputs, poll: str, option: str) -> Iterator[Sentence]:
    """What came of a vote: the boxes that the option is in."""
    part = inputs.told.options[poll, option].part
    boxes = [box for box, held in inputs.boxes.items() if part in held]
    if boxes:
        names = tuple(project.sells[box].own_name or "a box" for box in boxes)
        values: dict[str, Value] = {
            "option": _option(inputs, poll, option),
            "boxes": Names(tuple(dict.fromkeys(names))),
        }
        yield Sentence("{option} is in {boxes}.", values)


def _asked(heard: tuple[Inputs, Answer] | None) -> Iterator[Sentence]:
    if heard is None:
        return
    inputs, answer = heard
    told = [(s, found) for s, found in answer.subjects.items() if found.since]
    for subject, found in sorted(told, key=lambda pair: -pair[1].voters):
        if found.voters < LEAST_ASKED:
            continue
        values: dict[str, Value] = {
            "voters": Count(found.voters, "of you", "of you"),
            "subject": Name(inputs.told.subjects[subject].name or subject),
        }
        if subject in inputs.asked:
            yield Sentence("{voters} spoke of {subject}; we have asked for it.", values)
        elif found.open_voters >= inputs.asked_least:
            yield Sentence("{voters} spoke of {subject}: [the answer goes here]", values)
        else:
            yield Sentence("{voters} spoke of {subject}; you have our answer.", values)


def _open(
    project: Project, heard: tuple[Inputs, Answer] | None, today: dt.date
) -> Iterator[Sentence]:
    questions = [choice.question for choice in open_choices(project.choices).values()]
    polls: Mapping[str, Poll] = heard[0].told.polls if heard else {}
    for asked in polls.values():
        if asked.closed is None or asked.closed > today:
            yield Sentence("You can still vote: {question}", {"question": asked.question or "now."})
    for question in questions:
        yield Sentence("Subject to change, not decided yet: {question}", {"question": question})
