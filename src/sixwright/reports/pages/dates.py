"""“What date can we promise?”: the promise first, then when each thing is likely, and who waits."""

from collections.abc import Iterator

from sixwright.kernel.sentences import Name, Sentence, Value
from sixwright.reports.date_ask import DateAsk
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Fold,
    Heading,
    Paragraph,
    Plate,
)
from sixwright.reports.pages.dates_tables import (
    gains_table,
    promises_table,
    slips_table,
    tasks_table,
    waits_table,
)
from sixwright.reports.pages.topic import closing
from sixwright.topics.dates.model import Answer as Dates
from sixwright.topics.dates.model import Inputs
from sixwright.topics.dates.pictures import bands, load, milestones
from sixwright.topics.dates.said import chance_sentence, last_public, month_to_say, to_say
from sixwright.topics.dates.sources import SOURCES
from sixwright.topics.dates.topic import DATES
from sixwright.topics.dates.words import milestone_name, worded
from sixwright.workflows.reviewed import Review

METHOD = (
    Sentence("Every task is drawn 10,000 times, and each draw is scheduled task by task."),
    Sentence("People work on their days of the week, not on holidays, nor when they are away."),
    Sentence("Three points are a beta distribution: low, likely, high."),
    Sentence("A head takes as many rounds as it takes to be approved."),
    Sentence("A chance is the share of draws; it is as good as the days that were stated."),
    Sentence("The plan takes likely days, and no plan at these days ends before its bound."),
)


def page(review: Review) -> Document:
    """The page of dates."""
    inputs, found = review.inputs_of(DATES), review.of(DATES)
    blocks: list[Block] = [Answer(review.verdicts.get(DATES.id), tuple(_said(inputs, found)))]
    drawn = milestones(inputs, found)
    if drawn is not None:
        blocks.append(Plate(drawn))
    ask = date_ask(inputs, found)
    if ask is not None:
        blocks.append(ask)
    blocks += _promised(inputs, found, review)
    blocks += _tasks(inputs, found)
    blocks += _people(inputs, found)
    blocks += closing(review, DATES.id, METHOD, SOURCES)
    return Document(DATES.id, DATES.question, tuple(blocks), review.project.locale)


def _said(inputs: Inputs, found: Dates) -> Iterator[Sentence]:
    """The month to say and how sure it is; then how sure what was promised is."""
    last = last_public(inputs, found)
    reached = found.milestones[last.id] if last is not None else None
    if last is None or reached is None:
        yield Sentence("No date can be said yet: no milestone rests on tasks whose days are known.")
        return
    month = month_to_say(reached, inputs.rules.confidence, found.draws)
    values: dict[str, Value] = {"name": Name(milestone_name(last))}
    if month is None:
        yield Sentence("{name}: no month is sure enough to be said.", values)
    else:
        sure, more = worded(month.chance)
        values |= more | {"month": month.name}
        yield Sentence(f"{{name}}: the end of {{month}} has {sure}.", values)
    for id_, promise in inputs.promises.items():
        told = found.promises[id_]
        if told.judged and told.chance is not None and promise.milestone == last.id:
            sure, promised = worded(float(told.chance.value))
            promised["day"] = promise.date
            yield Sentence(f"{{day}}, which was promised, has {sure}.", promised)


def date_ask(inputs: Inputs, found: Dates) -> DateAsk | None:
    """The milestones and dates that can be asked for; None where none is known."""
    known = {id_: each for id_, each in found.milestones.items() if each is not None and each.days}
    last = last_public(inputs, found)
    if last is None or last.id not in known:
        return None
    chosen = known[last.id]
    promised = [each.date for each in inputs.promises.values()
                if each.milestone == last.id and found.promises[each.id].judged]  # fmt: skip
    day = promised[-1] if promised else chosen.p80 or chosen.days[-1]
    return DateAsk(
        milestones=tuple((id_, milestone_name(inputs.milestones[id_])) for id_ in known),
        milestone=last.id,
        day=day,
        first=min(day, *(each.days[0] for each in known.values())),
        last=max(day, *(each.days[-1] for each in known.values())),
        said=chance_sentence(inputs, found, last.id, day),
    )


def _promised(inputs: Inputs, found: Dates, review: Review) -> Iterator[Block]:
    """The register of promises, and what to say next."""
    if inputs.promises:
        yield promises_table(inputs, found, review.findings)
    said = to_say(inputs, found)
    if said:
        yield Heading("For the next update", "dates-update")
        yield Paragraph(said)


def _tasks(inputs: Inputs, found: Dates) -> Iterator[Block]:
    drawn = bands(inputs, found)
    if drawn is not None:
        yield Plate(drawn, tabled=True)
    if inputs.tasks:
        yield tasks_table(inputs, found)
    if not found.plan.proven and found.plan.finish is not None:
        values: dict[str, Value] = {"day": found.plan.finish}
        told = "The plan ends on {day}; a better one may exist, and was not found in time."
        yield Paragraph((Sentence(told, values),))
    slipped = slips_table(inputs, found)
    if slipped is not None:
        yield slipped
    if found.gains:
        yield gains_table(inputs, found)


def _people(inputs: Inputs, found: Dates) -> Iterator[Block]:
    waits = waits_table(inputs, found)
    if waits is not None:
        yield waits
    drawn = load(inputs, found)
    if drawn is not None:
        yield Fold(Sentence("Work asked of each person, by week"), (Plate(drawn),), "dates-load")
