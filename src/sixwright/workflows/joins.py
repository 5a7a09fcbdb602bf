"""One function an arrow: what each topic is given, from the project and from other topics."""

from collections.abc import Iterator
from datetime import date

from sixwright.line.likeness import Round
from sixwright.line.voices import ANSWERED_STATES
from sixwright.project.choices import Choice, open_choices
from sixwright.project.model import Project
from sixwright.topics.care import model as care_model
from sixwright.topics.dates import model as dates_model
from sixwright.topics.likeness import model as likeness_model
from sixwright.topics.lineup import model as lineup_model
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.money import model as money_model
from sixwright.topics.voices import model as voices_model
from sixwright.workflows import choices_model
from sixwright.workflows.reviewed import Given


def lineup(given: Given) -> lineup_model.Inputs:
    """The line-up rests on the folder alone."""
    project = given.project
    return lineup_model.Inputs(
        line=project.id,
        looks=project.looks,
        sells=project.sells,
        parts=project.parts,
        contents=project.contents,
        orders=project.orders,
        strays=project.strays,
        lost=project.lost,
    )


def money(given: Given) -> money_model.Inputs:
    """Money counts what the line-up found in each box; quotes are read as of the day."""
    project, boxes = given.project, given.of(LINEUP)
    return money_model.Inputs(
        line=project.id,
        currency=project.currency,
        sells=project.sells,
        parts=project.parts,
        contents=boxes.contents,
        orders=boxes.orders,
        ways=project.ways,
        prices=project.prices,
        rates=project.rates,
        rules=project.money,
        today=given.today,
    )


def likeness(given: Given) -> likeness_model.Inputs:
    """Likeness rests on the folder alone: sculpts and their rounds, stills and what they show."""
    return likeness_of(given.project)


def likeness_of(project: Project) -> likeness_model.Inputs:
    """What a line itself says of its heads: all that likeness needs."""
    return likeness_model.Inputs(
        line=project.id,
        seed=project.seed,
        terms=project.terms,
        sculpts=project.sculpts,
        rounds=project.rounds,
        placements=project.placements,
        targets=project.targets,
        stills=project.stills,
        sightings=project.sightings,
        outlines=project.outlines,
        asks=project.sculpt_asks,
        pictures=project.pictures,
        meshes=project.meshes,
    )


def dates(given: Given) -> dates_model.Inputs:
    """Dates rest on the folder alone: tasks, people, promises, quotes of parts, rounds that came.

    Of a round only its day and its maker are handed on, so that its mesh moves no date.
    """
    project = given.project
    return dates_model.Inputs(
        line=project.id,
        seed=project.seed,
        today=given.today,
        rules=project.date_rules,
        tasks=project.tasks,
        links=project.task_links,
        people=project.people,
        away=project.away,
        milestones=project.milestones,
        promises=project.promises,
        slots=project.slots,
        quotes=_quotes(project),
        rounds=tuple(
            Round(each.id, each.sculpt, each.number, each.date, maker=each.maker)
            for each in project.rounds.values()
        )
        if any(task.rounds_most for task in project.tasks.values())
        else (),
    )


def care(given: Given) -> care_model.Inputs:
    """Care looks at parts and notes, at how they are made, and at what is in each box."""
    project = given.project
    return care_model.Inputs(
        line=project.id,
        parts=project.parts,
        ways=project.ways,
        sells=project.sells,
        contents=given.of(LINEUP).contents,
        part_notes=_notes(project, "parts"),
        quote_notes=_notes(project, "ways"),
    )


def _notes(project: Project, table: str) -> dict[str, str]:
    """Row to the note on it, where there is one."""
    notes = {id_: row.cells.get("note", "") for id_, row in project.records.get(table, {}).items()}
    return {id_: note for id_, note in notes.items() if note.strip()}


def _quotes(project: Project) -> dict[str, dates_model.Quote]:
    """Task without days of its own to the quote of its part's chosen way."""
    found = {}
    for task in project.tasks.values():
        if (task.low_days, task.likely_days, task.high_days) != (None, None, None):
            continue
        part = project.parts.get(task.part or "")
        way = project.ways.get(part.way or "") if part else None
        if way is not None:
            found[task.id] = dates_model.Quote(
                way.id, way.part, way.maker, way.lead_days, way.valid_until
            )
    return found


def voices(given: Given) -> voices_model.Inputs:
    """Voices holds what the public said against what is in each box, and against open choices."""
    project, boxes = given.project, given.of(LINEUP)
    told = project.voices
    return voices_model.Inputs(
        voices_model.Told(
            polls=project.polls,
            options=project.options,
            votes=told.votes,
            tallies=told.tallies,
            comments=told.comments,
            subjects=project.subjects,
            today=given.today,
            seed=project.seed,
        ),
        boxes={
            sells: {part: part in boxes.optional[sells] for part in held}
            for sells, held in boxes.contents.items()
        },
        names={id_: sold.name or id_ for id_, sold in project.sells.items()},
        asked=frozenset(
            ask.subject for ask in project.voices_asks.values() if ask.state != "withdrawn"
        ),
        came=dict(_came(given)),
        asked_least=project.asked_least
        if project.asked_least is not None
        else voices_model.ASKED_LEAST,
        undecided={choice.id: _about(choice) for choice in open_choices(project.choices).values()},
    )


def _came(given: Given) -> Iterator[tuple[str, date]]:
    """Subject, and the day since which its ask has an answer: said, or by the round that came."""
    project = given.project
    for ask in project.voices_asks.values():
        if ask.state in ANSWERED_STATES:
            yield ask.subject, ask.date or given.today
        elif ask.state != "withdrawn" and ask.sculpt is not None and ask.date is not None:
            came = [
                each.date
                for each in project.rounds.values()
                if each.sculpt == ask.sculpt and each.date is not None and each.date > ask.date
            ]
            if came:
                yield ask.subject, min(max(came), given.today)


def _about(choice: Choice) -> dict[str, frozenset[str]]:
    """Part to the alternatives of a choice that are about it."""
    found: dict[str, set[str]] = {}
    for alternative in choice.alternatives:
        for change in alternative.changes:
            part = change.id.partition("/")[2] if change.table == "contents" else change.id
            if change.table in {"parts", "contents"}:
                found.setdefault(part, set()).add(alternative.id)
    return {part: frozenset(ids) for part, ids in found.items()}


def choices(given: Given) -> choices_model.Inputs:
    """A choice is tried on the whole line, so it comes after all that is answered."""
    return choices_model.Inputs(given.project, given.today, given.answered, given.inputs_on)
