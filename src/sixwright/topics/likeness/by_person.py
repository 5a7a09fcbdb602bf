"""The part of the rows that decides one person's likeness: no head rests on another person."""

from collections.abc import Iterable
from dataclasses import replace

from sixwright.topics.likeness.model import Answer, Inputs


def by_person(inputs: Inputs) -> tuple[Inputs, ...]:
    """The rows of each person that a sculpt depicts, and those of the sculpts of nobody.

    Parameters
    ----------
    inputs
        Of a whole line.

    Returns
    -------
    tuple of Inputs
        One a person, in the order of the sculpts; every sculpt and round is in exactly one.
    """
    people = dict.fromkeys(sculpt.person for sculpt in inputs.sculpts.values())
    return tuple(_part(inputs, person) for person in people)


def together(parts: Iterable[Answer], inputs: Inputs) -> Answer:
    """The answers of all people as one, its rounds in the folder's order."""
    found = {one.round: one for answer in parts for one in answer.rounds}
    return Answer(tuple(found[round_] for round_ in inputs.rounds))


def _part(inputs: Inputs, person: str | None) -> Inputs:
    sculpts = {id_: one for id_, one in inputs.sculpts.items() if one.person == person}
    rounds = {id_: one for id_, one in inputs.rounds.items() if one.sculpt in sculpts}
    stills = {id_: one for id_, one in inputs.stills.items() if one.person == person}
    files = {one.file for one in stills.values()}
    return replace(
        inputs,
        sculpts=sculpts,
        rounds=rounds,
        placements=tuple(row for row in inputs.placements if row.round in rounds),
        targets=tuple(row for row in inputs.targets if row.sculpt in sculpts),
        stills=stills,
        sightings=tuple(row for row in inputs.sightings if row.still in stills),
        outlines=tuple(row for row in inputs.outlines if row.still in stills),
        pictures={name: one for name, one in inputs.pictures.items() if name in files},
        surfaces={id_: marks for id_, marks in inputs.surfaces.items() if id_ in rounds},
        asks={},
    )
