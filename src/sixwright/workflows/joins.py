"""One function an arrow: what each topic is given, from the project and from other topics."""

from datetime import date

from sixwright.project.model import Project
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
