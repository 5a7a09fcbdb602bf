"""One function an arrow: what each topic is given, from the project and from other topics."""

from datetime import date

from sixwright.project.model import Project
from sixwright.topics.likeness import model as likeness
from sixwright.topics.lineup import model as lineup
from sixwright.topics.money import model as money


def lineup_inputs(project: Project) -> lineup.Inputs:
    """The line-up rests on the folder alone."""
    return lineup.Inputs(
        line=project.id,
        looks=project.looks,
        sells=project.sells,
        parts=project.parts,
        contents=project.contents,
        orders=project.orders,
    )


def money_inputs(project: Project, boxes: lineup.Answer, today: date) -> money.Inputs:
    """Money counts what the line-up found in each box; quotes are read as of `today`."""
    return money.Inputs(
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
        today=today,
    )


def likeness_inputs(project: Project) -> likeness.Inputs:
    """Likeness rests on the folder alone: sculpts and their rounds, stills and what they show."""
    return likeness.Inputs(
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
    )
