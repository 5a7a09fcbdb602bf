"""What buyers' votes and comments ask of the line, each with its evidence and what to do."""

from collections.abc import Iterator, Mapping
from itertools import groupby

from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Interval, Limit, Verdict, exact, judge
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Share, Value
from sixwright.kernel.units import Unit, share, symbol, things
from sixwright.numerics.shares import newcombe_difference, wilson_interval
from sixwright.topics.voices import rules
from sixwright.topics.voices.asks import ask_cells, ask_words
from sixwright.topics.voices.model import Answer, Inputs, PollAnswer, Said, Word
from sixwright.topics.voices.sets_model import OptionSet


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Every rule of voices on everything it applies to, what holds included.

    Parameters
    ----------
    inputs, answer
        What was asked and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/voices.md lists the rules.
    """
    found: list[Finding] = []
    for poll, said in answer.polls.items():
        found += [
            _divided(inputs, poll, option, told.everyone)
            for option, told in said.options.items()
            if told.everyone.word is Word.DIVIDED
        ]
        found += _left_out(inputs, poll, said)
    found += [_unanswered(inputs, answer, subject) for subject in answer.subjects]
    found += _thin(inputs, answer)
    return tuple(found)


def _option(inputs: Inputs, poll: str, option: str) -> Name:
    return Name(inputs.told.options[poll, option].name or option)


def _boxes(inputs: Inputs, part: str | None, *, forced: bool) -> list[str]:
    """The boxes that hold a part; with `forced`, only where it is not optional."""
    if part is None:
        return []
    held = {box: parts[part] for box, parts in inputs.boxes.items() if part in parts}
    return [box for box, optional in held.items() if not (forced and optional)]


def _divided(inputs: Inputs, poll: str, option: str, said: Said) -> Finding:
    """A divided option should be in no box whose buyers cannot leave it out."""
    part = inputs.told.options[poll, option].part
    forced = _boxes(inputs, part, forced=True)
    count, limit = exact(len(forced)), Limit("==", 0)
    against = round((said.bottom or 0.0) * (said.n or 0))
    if said.share is not None:
        against = round((1 - float(said.share.value)) * (said.n or 0))
    values: dict[str, Value] = {
        "option": _option(inputs, poll, option),
        "voters": Count(said.n or 0, "voter", "voters"),
    }
    lost = wilson_interval(against, said.n or 1)
    values |= {
        "share": Share(lost.value, 0),
        "low": Share(lost.low, 0),
        "high": Share(lost.high, 0),
    }
    words = "{option} divides {voters}: {share} ({low} to {high}) do not want it"
    if part is None:
        message = Sentence(f"{words}. Which part it is has not been said.", values)
        remedy = Sentence("Say in the options which part it is.")
    elif forced:
        values["boxes"] = Names(tuple(inputs.names.get(box, box) for box in forced))
        message = Sentence(f"{words}, and every buyer of {{boxes}} gets it.", values)
        remedy = Sentence("Sell it apart, make it optional, or put it only where its friends buy.")
    else:
        message = Sentence(f"{words}. Nobody is made to take it.", values)
        remedy = None
    return rules.DIVIDED.finding(
        Subject("option", f"{poll}/{option}"),
        Evidence(
            measured=None if part is None else count,
            limit=limit,
            missing=(f"options/{poll}/{option}/part",) if part is None else (),
        ),
        message,
        remedy=remedy,
        weight=float(against),
    )


def _best(said: PollAnswer) -> list[OptionSet]:
    """Of the largest size: the set of most reach, and the best one without a divided option."""
    sizes = [list(sets) for _, sets in groupby(said.sets, key=lambda chosen: chosen.size)]
    if not sizes:
        return []
    last = sizes[-1]
    agreed = next((chosen for chosen in last if chosen.agreed), None)
    return list(dict.fromkeys(chosen for chosen in (last[0], agreed) if chosen))


def _left_out(inputs: Inputs, poll: str, said: PollAnswer) -> Iterator[Finding]:
    """What the best sets hold should be in some box."""
    best = _best(said)
    for option in dict.fromkeys(option for chosen in best for option in chosen.options):
        part = inputs.told.options[poll, option].part
        boxes = _boxes(inputs, part, forced=False)
        held = next(chosen for chosen in best if option in chosen.options)
        values: dict[str, Value] = {
            "option": _option(inputs, poll, option),
            "reach": Count(held.reach),
            "all": Count(said.n or 0, "voter", "voters"),
            "size": Count(held.size, "option", "options"),
        }
        which = "" if held == best[0] else " of which none divides"
        words = f"The best set of {{size}}{which} reaches {{reach}} of {{all}} and holds {{option}}"
        missing: tuple[str, ...] = ()
        if part is None:
            message = Sentence(f"{words}. Which part that is has not been said.", values)
            missing = (f"options/{poll}/{option}/part",)
        elif boxes:
            values["boxes"] = Count(len(boxes), "box does", "boxes do")
            message = Sentence(f"{words}; {{boxes}} too.", values)
        else:
            message = Sentence(f"{words}, which no box does.", values)
        count, limit = exact(len(boxes)), Limit(">=", 1)
        yield rules.LEFT_OUT.finding(
            Subject("option", f"{poll}/{option}"),
            Evidence(measured=None if missing else count, limit=limit, missing=missing),
            message,
            remedy=_remedy_of_left_out(missing, boxes),
            weight=float(held.reach),
        )


def _remedy_of_left_out(missing: tuple[str, ...], boxes: list[str]) -> Sentence | None:
    if missing:
        return Sentence("Say in the options which part it is.")
    return None if boxes else Sentence("Put it into a box, or say why not in the next update.")


def _unanswered(inputs: Inputs, answer: Answer, subject: str) -> Finding:
    """A subject of many voters should be asked of somebody, or answered."""
    told, known = answer.subjects[subject], inputs.told.subjects[subject]
    asked = subject in inputs.asked and subject not in inputs.came
    waiting = exact(0 if asked else told.open_voters)
    limit = Limit("<", inputs.asked_least)
    verdict = judge(waiting, limit)
    values: dict[str, Value] = {
        "subject": Name(known.name or subject),
        "voters": Count(told.voters, "voter speaks", "voters speak"),
    }
    if asked:
        message = Sentence("{voters} of {subject}, and somebody is asked about it.", values)
    elif subject in inputs.came and verdict is Verdict.HOLDS:
        values["day"] = inputs.came[subject]
        message = Sentence("{voters} of {subject}; what was asked came back on {day}.", values)
    elif verdict is Verdict.FAILS and told.open_voters == told.voters:
        message = Sentence("{voters} of {subject}, and none of them has an answer.", values)
    elif verdict is Verdict.FAILS:
        values["open"] = Count(told.open_voters, "of them has", "of them have")
        message = Sentence("{voters} of {subject}; {open} no answer.", values)
    else:
        message = Sentence("{voters} of {subject}; nearly all have an answer.", values)
        if told.open_voters == told.voters:
            message = Sentence(
                "{voters} of {subject}, too few to need an answer of its own.", values
            )
        elif not told.open_voters:
            message = Sentence("{voters} of {subject}; all have an answer.", values)
    return rules.UNANSWERED.finding(
        Subject("subject", subject),
        Evidence(measured=waiting, limit=limit),
        message,
        remedy=Sentence("Ask whoever can change it, or answer.")
        if verdict is Verdict.FAILS
        else None,
        weight=float(told.open_voters),
        fix=_fix(inputs, subject, told.voters) if verdict is Verdict.FAILS else None,
    )


def _fix(inputs: Inputs, subject: str, voters: int) -> Fix:
    """One row in asks.csv."""
    cells = ask_cells(inputs, subject, voters)
    row = tuple((column, text) for column, text in cells.items() if column != "id")
    return Fix(ask_words(inputs, subject), "asks", cells["id"], row)


def _thin(inputs: Inputs, answer: Answer) -> Iterator[Finding]:
    """Where a choice rests on the order of two options, the votes should tell which is first."""
    for choice, parts in inputs.undecided.items():
        for poll, said in answer.polls.items():
            part_of = {o: inputs.told.options[poll, o].part or "" for o in said.options}
            rested = [o for o, part in part_of.items() if part in parts]
            if not _rests({part_of[o] for o in rested}, parts, len(rested)):
                continue
            figures = [(o, said.options[o].everyone) for o in rested]
            known = [(o, f) for o, told in figures if (f := _figure(told)) is not None]
            yield _ordered(inputs, (choice, poll), said, rested, known)


def _rests(about: set[str], parts: Mapping[str, frozenset[str]], options: int) -> bool:
    """Whether a choice decides between options: of one part, or not all changed alike by it."""
    return options > 1 and (len(about) == 1 or len({parts[part] for part in about}) > 1)


def _unit(said: Said) -> Unit:
    """What two options are apart in."""
    if said.share is not None:
        return share()
    return things("level", "levels") if said.mean is not None else symbol("of strength")


def _figure(said: Said) -> Interval | None:
    """What an option is ordered by: its share, its mean, or its strength."""
    return said.share or said.mean or said.strength


def _ordered(
    inputs: Inputs,
    where: tuple[str, str],
    said: PollAnswer,
    rested: list[str],
    known: list[tuple[str, Interval]],
) -> Finding:
    choice, poll = where
    known = sorted(known, key=lambda pair: -float(pair[1].value))
    limit, subject = Limit(">", 0), Subject("choice", f"{choice}/{poll}")
    if len(known) < 2:
        lacking = [option for option in rested if option not in dict(known)]
        names = Names(tuple(_option(inputs, poll, option).text for option in lacking))
        return rules.THIN.finding(
            subject,
            Evidence(limit=limit, missing=tuple(f"votes/{poll}/{option}" for option in lacking)),
            Sentence("Too few votes for {options} to order them.", {"options": names}),
            remedy=Sentence("Ask more voters."),
        )
    (first, most), (second, next_) = known[:2]
    gap = newcombe_difference(most, next_)
    verdict = judge(gap, limit)
    values: dict[str, Value] = {
        "first": _option(inputs, poll, first),
        "second": _option(inputs, poll, second),
        "voters": Count(said.n or 0, "voter", "voters"),
    }
    told = "{first} is ahead of {second} among {voters}"
    if verdict is Verdict.HOLDS:
        message = Sentence(f"{told}, by more than chance.", values)
    else:
        message = Sentence(f"{told}, but by no more than chance could make.", values)
    return rules.THIN.finding(
        subject,
        Evidence(measured=gap, limit=limit, unit=_unit(said.options[first].everyone)),
        message,
        remedy=None if verdict is Verdict.HOLDS else Sentence("Ask more voters, or decide freely."),
    )
