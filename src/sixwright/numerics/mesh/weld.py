"""Corners that lie on the very same place become one vertex."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Flags, Ints, Mesh, Vertices

Words = NDArray[np.uint64]

BLOCK = 1 << 16
# Odd numbers without a pattern (the first is 2^64 divided by the golden ratio); any would do,
# because what shares a hash is compared before it is called the same.
_MIX = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9], np.uint64)
_LEAST_SLOTS_LOG2 = 10
_ROUNDS = 64


@dataclass(frozen=True, slots=True, eq=False)
class Same:
    """Which of many places are the same.

    Attributes
    ----------
    first
        (m,), int64, ascending: where each different place comes first.
    label
        (p,), int32: of each place, its number among the different ones.
    """

    first: NDArray[np.int64]
    label: Ints


def same_places(places: Vertices) -> Same:
    """The different places among many, numbered as they come.

    Two are the same where all three numbers are equal to the last bit; 0 and -0 are.

    Parameters
    ----------
    places
        (p, 3), finite, at most 2^31 - 1 of them.

    Raises
    ------
    InputError
        If they are more.

    Source
    ------
    Own choice: decisions/0010. A hash of the bits, and a table with one slot a hash: each round
    settles the places whose slot was won by one that is equal, the others go on with other slots.
    """
    count = len(places)
    if count > np.iinfo(np.int32).max:
        raise InputError(f"places must be at most 2^31 - 1; received {count}.")
    hashes = _hashes(places)
    winner = np.zeros(count, np.int32)
    # One slot for every two places at least; a welded surface has six corners a vertex.
    bits = max(_LEAST_SLOTS_LOG2, int(np.ceil(np.log2(max(count, 2) / 2))))
    left = _first_round(places, hashes, winner, bits)
    for round_ in range(1, _ROUNDS):
        if not len(left):
            break
        turned = (hashes.take(left) + np.uint64(round_)) * _MIX[round_ % 3]
        left = _next_round(places, turned >> np.uint64(64 - bits), winner, left)
    else:  # never alone in a slot: only by design of the file
        winner[left] = left[_by_sorting(places[left])]
    is_first = winner == np.arange(count, dtype=np.int32)
    number = np.cumsum(is_first, dtype=np.int32)
    number -= 1
    return Same(np.flatnonzero(is_first), number.take(winner, mode="clip"))


def _hashes(places: Vertices) -> Words:
    """(p,): 64 bits that equal places share."""
    hashes = np.zeros(len(places), np.uint64)
    unsigned = np.uint32 if places.dtype == np.float32 else np.uint64
    for start in range(0, len(places), BLOCK):
        # Adding 0 makes 0 of -0.
        bits = (np.ascontiguousarray(places[start : start + BLOCK]) + 0).view(unsigned)
        mixed = bits[:, 0] * _MIX[0]
        for axis in (1, 2):
            more = bits[:, axis] * _MIX[axis]
            mixed ^= mixed >> np.uint64(29)
            mixed += more ^ (more >> np.uint64(31))
            mixed *= _MIX[0]
        hashes[start : start + BLOCK] = mixed ^ (mixed >> np.uint64(32))
    return hashes


def _first_round(places: Vertices, hashes: Words, winner: Ints, bits: int) -> Ints:
    """Name the first of its equals for each place that shares its slot with these alone; the rest.

    In blocks, whose arrays stay in a processor's cache.
    """
    shift = np.uint64(64 - bits)
    table = np.zeros(1 << bits, np.int32)
    starts = range(0, len(places), BLOCK)
    for start in reversed(starts):
        slot = (hashes[start : start + BLOCK] >> shift).astype(np.intp)
        # Of an index that comes twice the last assignment stays: from the end, that is the first.
        table[slot[::-1]] = np.arange(start + len(slot) - 1, start - 1, -1, dtype=np.int32)
    left = []
    for start in starts:
        block = slice(start, start + BLOCK)
        chosen = table.take((hashes[block] >> shift).astype(np.intp), mode="clip")
        equal = _equal(places[block], places.take(chosen, axis=0, mode="clip"))
        winner[block] = chosen
        left.append(np.flatnonzero(~equal).astype(np.int32) + np.int32(start))
    return np.concatenate(left) if left else np.zeros(0, np.int32)


def _next_round(places: Vertices, slots: Words, winner: Ints, left: Ints) -> Ints:
    """The same among the places left, each with another slot."""
    slot = slots.astype(np.intp)
    table = np.zeros(int(slot.max()) + 1, np.int32)
    table[slot[::-1]] = left[::-1]
    chosen = table.take(slot, mode="clip")
    mine, other = (places.take(which, axis=0, mode="clip") for which in (left, chosen))
    equal = _equal(mine, other)
    winner[left[equal]] = chosen[equal]
    return left[~equal]


def _equal(one: Vertices, other: Vertices) -> Flags:
    """(k,): whether two places are the same, number by number."""
    same = one == other
    equal: Flags = same[:, 0] & same[:, 1] & same[:, 2]
    return equal


def _by_sorting(places: Vertices) -> NDArray[np.int64]:
    """(p,): of each place the first that is equal, by sorting."""
    _, first, inverse = np.unique(places + 0, axis=0, return_index=True, return_inverse=True)
    return first[inverse.ravel()]


def welded(mesh: Mesh) -> Mesh:
    """The mesh with one vertex a place, without faces that name one twice, nor unused vertices.

    Faces keep their order, and vertices the order in which they come. A face two of whose corners
    fall on one place has no area; without it, its two neighbours share the edge that is left.

    Raises
    ------
    InputError
        If there are more than 2^31 - 1 vertices.
    """
    same = same_places(mesh.vertices)
    vertices, faces = mesh.vertices, mesh.faces
    if len(same.first) < len(vertices):
        vertices, faces = vertices.take(same.first, axis=0, mode="clip"), same.label.take(faces)
    return trimmed(vertices, faces)


def trimmed(vertices: Vertices, faces: Ints) -> Mesh:
    """A mesh without faces that name a vertex twice, nor vertices that none names.

    Raises
    ------
    InputError
        As `Mesh`.
    """
    first, second, third = faces.T
    twice = (first == second) | (second == third) | (third == first)
    if twice.any():
        faces = faces[~twice]
    used = np.zeros(len(vertices), np.bool_)
    used[faces] = True
    if not used.all():
        number = np.cumsum(used, dtype=np.int32) - np.int32(1)
        vertices, faces = vertices[used], number.take(faces)
    return Mesh(vertices, faces)
