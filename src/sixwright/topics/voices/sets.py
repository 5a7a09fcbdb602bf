"""Which few options together reach the most voters."""

import numpy as np
from numpy.typing import NDArray

from sixwright.line.voices import Poll
from sixwright.numerics.reach import MOST_SUBSETS, Subset, best_subsets, subsets_to_try
from sixwright.topics.voices.ballots import Ballots
from sixwright.topics.voices.sets_model import NoSets, OptionSet


def liked_by(poll: Poll, found: Ballots, options: tuple[str, ...]) -> NDArray[np.bool_]:
    """(voters, options): chosen, approved, ranked first, or rated at one of the two highest levels.

    Parameters
    ----------
    poll, found
        The poll and its votes.
    options
        Ids, in the order of the columns.

    Raises
    ------
    KeyError
        If an answer is to an option that is not among them.

    Source
    ------
    Definition: docs/topics/voices.md, “Sets”.
    """
    column = {option: i for i, option in enumerate(options)}
    likes = np.zeros((len(found.answers), len(options)), dtype=np.bool_)
    for row, answers in enumerate(found.answers.values()):
        for option, answer in answers.items():
            likes[row, column[option]] = _likes(poll, answer)
    return likes


def _likes(poll: Poll, answer: int) -> bool:
    if poll.kind == "rate":
        return poll.most is not None and answer >= poll.most - 1
    return answer == 1


def best_sets(
    likes: NDArray[np.bool_],
    options: tuple[str, ...],
    *,
    seats: int,
    musts: frozenset[str],
    divided: frozenset[str],
) -> tuple[tuple[OptionSet, ...], NoSets | None]:
    """For each size up to `seats`: the best ten sets, and the best without a divided option.

    Parameters
    ----------
    likes
        (voters, options).
    options
        Ids, ascending: equals are ordered by them.
    seats
        Largest size, 1 or more.
    musts
        Options that every set holds.
    divided
        Options about which voters are divided.

    Returns
    -------
    The sets, and why there are none of some size.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If `seats` is below 1.

    Source
    ------
    numerics.reach; all subsets are tried.
    """
    always = tuple(i for i, option in enumerate(options) if option in musts)
    agreed = [i for i, option in enumerate(options) if option not in divided]
    found: list[OptionSet] = []
    for size in range(1, seats + 1):
        if subsets_to_try(len(options), size, len(always)) > MOST_SUBSETS:
            return tuple(found), NoSets.MANY
        best = [_named(s, options, divided) for s in best_subsets(likes, size, always=always)]
        if not any(chosen.agreed for chosen in best) and not musts & divided:
            kept = tuple(options[i] for i in agreed)
            places = tuple(i for i, option in enumerate(kept) if option in musts)
            calm = best_subsets(likes[:, agreed], size, always=places, kept=1)
            best += [_named(chosen, kept, divided) for chosen in calm]
        found += best
    return tuple(found), None


def _named(found: Subset, options: tuple[str, ...], divided: frozenset[str]) -> OptionSet:
    members = tuple(options[i] for i in found.members)
    return OptionSet(members, found.reach, found.frequency, not divided & set(members))
