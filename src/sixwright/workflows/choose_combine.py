"""Which options can be combined, which are worse than another, and where two interact."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations, product
from math import prod

from sixwright.kernel.sentences import Name, Names, Sentence
from sixwright.project.choices import Alternative, Choice
from sixwright.project.names import cell_name, row_name
from sixwright.project.records import Change, Records
from sixwright.workflows.choose_measures import ADDITIVE, LESS, MORE, MeasureKind, Measures
from sixwright.workflows.choose_model import Chosen, Extent

# So many combinations are tried, some two seconds' work: six choices of two alternatives each.
MOST = 64
# A difference of less than a cent is nobody's reason; own choice.
CENT = Fraction(1, 100)


def extent(choices: Mapping[str, Choice], *, most: int = MOST) -> Extent:
    """How far the alternatives of these choices are combined.

    Parameters
    ----------
    choices
        The open ones, by id.
    most
        The most combinations that are tried.

    Source
    ------
    Own choice: docs/topics/choices.md, “All together”.
    """
    if possible(choices) <= most:
        return Extent.ALL
    others = [len(choice.alternatives) - 1 for choice in choices.values()]
    pairs = 1 + sum(others) + sum(a * b for a, b in combinations(others, 2))
    return Extent.PAIRS if pairs <= most else Extent.ALONE


def possible(choices: Mapping[str, Choice]) -> int:
    """How many combinations there are."""
    return prod(len(choice.alternatives) for choice in choices.values())


def selections(choices: Mapping[str, Choice], how_far: Extent) -> Iterator[Chosen]:
    """One alternative of every choice, in all the combinations that are tried.

    Parameters
    ----------
    choices
        The open ones, by id.
    how_far
        With `PAIRS` at most two choices are other than first, with `ALONE` at most one.

    Source
    ------
    docs/topics/choices.md, “All together”.
    """
    most = {Extent.ALL: len(choices), Extent.PAIRS: 2, Extent.ALONE: 1}[how_far]
    ids = [[each.id for each in choice.alternatives] for choice in choices.values()]
    firsts = [choice.first.id for choice in choices.values()]
    for chosen in product(*ids):
        if sum(one != first for one, first in zip(chosen, firsts, strict=True)) <= most:
            yield dict(zip(choices, chosen, strict=True))


def changes_of(choices: Mapping[str, Choice], chosen: Chosen) -> tuple[Change, ...]:
    """The changes of the chosen alternatives, in the choices' order."""
    found: list[Change] = []
    for id_, choice in choices.items():
        alternative = choice.alternative(chosen.get(id_, choice.first.id))
        found += alternative.changes if alternative else ()
    return tuple(found)


def clash(one: Alternative, other: Alternative, records: Records) -> Sentence | None:
    """Why two alternatives of different choices exclude each other, or None.

    They do where both change one cell, both add one row, or one of them removes a row that the
    other changes or removes.

    Parameters
    ----------
    one, other
        Two alternatives.
    records
        The folder's rows, for their names.

    Source
    ------
    folder.md: “two alternatives that change the same cell, or a row one of them removes, cannot
    be combined”.
    """
    for a, b in product(one.changes, other.changes):
        if (a.table, a.id) != (b.table, b.id):
            continue
        if a.remove or b.remove or a.add is not None or b.add is not None:
            row = Name(row_name(records, a.table, a.id))
            return Sentence("one adds or removes {row}, which the other changes.", {"row": row})
        if a.column == b.column:
            cell = cell_name(records, a.table, a.id, a.column or "")
            return Sentence("both set one cell, {cell}.", {"cell": Name(cell)})
    return None


def beats(one: Measures, other: Measures, kinds: Sequence[MeasureKind]) -> bool:
    """Whether one way is no worse than another on any count, and better on one.

    Parameters
    ----------
    one, other
        Measures by id.
    kinds
        The counts: measures without a better direction are left out. A measure that only one
        of the two knows, or neither, cannot be shown to be no worse: then nothing is beaten.

    Source
    ------
    Pareto dominance (Keeney and Raiffa, Decisions with Multiple Objectives, 1976; from memory),
    here with unknowns.
    """
    better = False
    for kind in kinds:
        if not kind.better:
            continue
        mine, theirs = one.get(kind.id), other.get(kind.id)
        if mine is None or theirs is None:
            return False
        gain = mine - theirs if kind.better == MORE else theirs - mine
        if gain < 0:
            return False
        better = better or gain > 0
    return better


def counted(kinds: Sequence[MeasureKind], ways: Sequence[Measures]) -> tuple[MeasureKind, ...]:
    """The measures that ways are compared on: with a better direction, and known of one at least.

    Parameters
    ----------
    kinds
        All measures.
    ways
        Measures of each way.

    Source
    ------
    Own choice: docs/topics/choices.md, “No better on anything and worse on something”.
    """
    return tuple(
        kind
        for kind in kinds
        if kind.better in {MORE, LESS} and any(way.get(kind.id) is not None for way in ways)
    )


def interaction(
    both: Measures, one: Measures, other: Measures, first: Measures
) -> dict[str, Fraction]:
    """By how much two changes together differ from the sum of their effects, by measure.

    Parameters
    ----------
    both, one, other, first
        Measures with both changes, with each alone, and with none.

    Returns
    -------
    dict of str to Fraction
        ``both − one − other + first``, exact, where it is a cent or more; a measure that is not
        known in all four is left out.

    Source
    ------
    The interaction of two factors at two levels (twice the one of textbooks on factorial
    experiments, which halve it): see tests/workflows/test_choose_against_textbooks.py.
    """
    found = {}
    for id_ in ADDITIVE:
        values = [each.get(id_) for each in (both, one, other, first)]
        known = [value for value in values if value is not None]
        if len(known) == 4:
            amount = known[0] - known[1] - known[2] + known[3]
            if abs(amount) >= CENT:
                found[id_] = amount
    return found


def names(choices: Mapping[str, Choice], chosen: Chosen) -> Names:
    """The names of alternatives that are other than first; of the first ones where all are."""
    picked = [(choice, choice.alternative(chosen[id_])) for id_, choice in choices.items()
              if id_ in chosen]  # fmt: skip
    others = [alternative.name for choice, alternative in picked
              if alternative and alternative != choice.first]  # fmt: skip
    shown = others or [choice.first.name for choice, _ in picked]
    return Names(tuple(f"“{name}”" for name in shown))
