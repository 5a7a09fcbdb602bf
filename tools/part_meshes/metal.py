"""Keys, the crank and the lantern."""

import hashlib
from collections.abc import Callable

import numpy as np
from heads.fields import Block, Reals, cut, join
from heads.shapes import Rod, Slab

from part_meshes.hands import HELD_MM

SEED = 20260914
SHARP = 0.05  # how far edges are melted where two shapes meet, mm
KEYS = 13
LARGE = 4  # the first four are larger
THIN_KEY = 9
# A zinc way of the demo asks for a shaft of at least 0.9 mm.
SHAFT_MM, THIN_SHAFT_MM = 1.1, 0.7
WARDS = 3  # places on a bit that may be notched, each key's its own

# Two cells LR44 (IEC 60086-2: 11.6 mm across, 5.4 mm high), one on the other, with some room.
CELLS_MM, CELLS_DEEP_MM = 12.0, 11.0


def key(number: int) -> Callable[[Block], Reals]:
    """Key `number`, 1 to 13, as a solid: bow with a hole, shaft, bit with wards of its own."""
    length, width, height = (11.0, 4.5, 1.6) if number <= LARGE else (9.0, 4.0, 1.4)
    half, rim = width / 2, height / 2
    bow = Rod.between((0, -rim, half), (0, rim, half), half)
    hole = Rod.between((0, -2, half), (0, 2, half), half - 1.1)
    across = THIN_SHAFT_MM if number == THIN_KEY else SHAFT_MM
    shaft = Rod.between((0, 0, width - 0.5), (0, 0, length), across / 2)
    bit = Slab.at((0.95, 0, length - 1.6), (0.95, 0.35, 1.1), 0.1)
    notches = [
        Slab.at((1.9, 0, length - 2.4 + 0.8 * ward), (0.35, 1, 0.2), 0.05)
        for ward in _notched(number)
    ]

    def solid(block: Block) -> Reals:
        whole = join(bow.distance(block), block, shaft, SHARP)
        whole = join(whole, block, bit, SHARP)
        for notch in notches:
            whole = cut(whole, block, notch, SHARP)
        return cut(whole, block, hole, SHARP)

    return solid


def _notched(number: int) -> list[int]:
    digest = hashlib.sha256(f"{SEED} key {number}".encode()).digest()
    chance = np.random.Generator(np.random.Philox(int.from_bytes(digest[:8], "big")))
    return [int(ward) for ward in np.flatnonzero(chance.random(WARDS) < 0.6)]


HANDLE_X = 31.5
HUB = Rod.between((0, 0, 0), (0, 0, 14), 4.5)
SQUARE = Slab.at((0, 0, 3), (2, 2, 7), 0.1)  # the socket, for a shaft of 4 mm square
ROD = Rod.between((0, 0, 12), (0, 0, 118), 2.5)
ARM = Slab.at((HANDLE_X / 2, 0, 117.5), (HANDLE_X / 2 + 2, 2.5, 2.5), 1.0)
HANDLE = Rod.between((HANDLE_X, 0, 116), (HANDLE_X, 0, 162), HELD_MM / 2)


def crank(block: Block) -> Reals:
    """The crank: a hub with a square socket, a rod, an arm, and a handle for the gripping hand."""
    solid = HUB.distance(block)
    for shape in (ROD, ARM, HANDLE):
        solid = join(solid, block, shape, 0.3)
    return cut(solid, block, SQUARE, 0.1)


FOOT = Rod.between((0, 0, 0), (0, 0, 13), 9.5)
ROOF = Rod.between((0, 0, 22), (0, 0, 25.5), 9.5)
POST_AT, POST_MM, POSTS = 7.6, 1.6, 4
BAR_Z = 34 - HELD_MM / 2
BAR = Rod.between((-7, 0, BAR_Z), (7, 0, BAR_Z), HELD_MM / 2)


def lantern(block: Block) -> Reals:
    """The lantern: a foot with room for two cells, four posts, a roof, and a bar to hold it by."""
    solid = join(FOOT.distance(block), block, ROOF, SHARP)
    for post in range(POSTS):
        x, y = (POST_AT * turn(np.pi * (post / 2 + 0.25)) for turn in (np.cos, np.sin))
        solid = join(solid, block, Rod.between((x, y, 12), (x, y, 23), POST_MM / 2), SHARP)
    solid = join(solid, block, BAR, SHARP)
    for x in (-6.0, 6.0):
        solid = join(solid, block, Rod.between((x, 0, 25), (x, 0, BAR_Z), 1.0), SHARP)
    room = Rod.between((0, 0, -5), (0, 0, CELLS_DEEP_MM), CELLS_MM / 2)
    return cut(solid, block, room, 0.1)
