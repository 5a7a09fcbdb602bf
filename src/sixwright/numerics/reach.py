"""Which few of many options reach the most people: every subset tried, by sets of bits."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappush, heapreplace
from math import comb

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import InputError

KEPT = 10
MOST_SUBSETS = 5_000_000  # all of 20 of any size are 1,048,576; beyond this nobody would wait


@dataclass(frozen=True, slots=True)
class Subset:
    """A subset of the options and whom it reaches.

    Attributes
    ----------
    members
        Columns, ascending.
    reach
        People who like one member or more.
    frequency
        Likes of all members together.
    """

    members: tuple[int, ...]
    reach: int
    frequency: int


def subsets_to_try(options: int, size: int, always: int) -> int:
    """How many subsets of `size` contain the `always` options; zero where none can."""
    return comb(options - always, size - always) if always <= size <= options else 0


def best_subsets(
    likes: NDArray[np.bool_], size: int, *, always: Sequence[int] = (), kept: int = KEPT
) -> tuple[Subset, ...]:
    """The subsets of one size that reach the most people, best first.

    Parameters
    ----------
    likes
        (people, options): who likes what.
    size
        Members of a subset, 1 or more.
    always
        Columns that every subset holds.
    kept
        At most so many are returned, 1 or more.

    Returns
    -------
    Ordered by reach, then frequency, most first, then by members; empty where `always` are more
    than `size`, or the options fewer.

    Raises
    ------
    InputError
        If `size` or `kept` is below 1, or the subsets are more than `MOST_SUBSETS`.

    Source
    ------
    Miaoulis, Free & Parsons 1990, total unduplicated reach and frequency. All subsets are tried:
    taking the best option, then the one that adds most, is not always best.
    """
    if size < 1 or kept < 1:
        raise InputError(f"size and kept must be 1 or more; received {size!r} and {kept!r}.")
    options = likes.shape[1]
    fixed = tuple(sorted(set(always)))
    if subsets_to_try(options, size, len(fixed)) > MOST_SUBSETS:
        raise InputError(
            f"subsets of {size} of {options} options must be {MOST_SUBSETS} or fewer; "
            f"received {subsets_to_try(options, size, len(fixed))}."
        )
    if not subsets_to_try(options, size, len(fixed)):
        return ()
    bits = _packed(likes)
    counts = likes.sum(axis=0, dtype=np.int64)
    free = [i for i in range(options) if i not in fixed]
    begin = np.bitwise_or.reduce(bits[list(fixed)], axis=0) if fixed else np.zeros_like(bits[0])
    heap: list[tuple[int, int, tuple[int, ...]]] = []
    for chosen, reach, frequency in _tried(bits, counts, begin, free, size - len(fixed)):
        members = tuple(sorted((*fixed, *chosen)))
        # Columns are negated, so that of equals the first in order is the greatest.
        entry = (reach, frequency + int(counts[list(fixed)].sum()), tuple(-i for i in members))
        if len(heap) < kept:
            heappush(heap, entry)
        elif entry > heap[0]:
            heapreplace(heap, entry)
    best = sorted(heap, reverse=True)
    return tuple(Subset(tuple(-i for i in m), reach, often) for reach, often, m in best)


def _packed(likes: NDArray[np.bool_]) -> NDArray[np.uint64]:
    """(options, words): a bit a person, 64 in a word."""
    people, options = likes.shape
    padded = np.zeros((options, -(-max(people, 1) // 64) * 64), dtype=bool)
    padded[:, :people] = likes.T
    words: NDArray[np.uint64] = np.packbits(padded, axis=1).view(np.uint64)
    return words


Tried = tuple[tuple[int, ...], int, int]


def _tried(
    bits: NDArray[np.uint64],
    counts: NDArray[np.int64],
    reached: NDArray[np.uint64],
    free: Sequence[int],
    more: int,
) -> Iterator[Tried]:
    """Each choice of `more` of the free options with its reach and frequency.

    The last option is not chosen one by one: all that could follow are joined at once.
    """
    if more == 0:
        yield (), int(np.bitwise_count(reached).sum()), 0
        return
    if more == 1:
        reaches = np.bitwise_count(bits[free] | reached).sum(axis=1, dtype=np.int64)
        for i, reach in zip(free, reaches.tolist(), strict=True):
            yield (i,), reach, int(counts[i])
        return
    for at, i in enumerate(free[: len(free) - more + 1]):
        for chosen, reach, often in _tried(
            bits, counts, reached | bits[i], free[at + 1 :], more - 1
        ):
            yield (i, *chosen), reach, often + int(counts[i])
