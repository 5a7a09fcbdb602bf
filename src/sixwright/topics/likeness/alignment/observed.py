"""How a head is off as stills show it: moves of landmarks, and of outlines drawn on them.

A move of a landmark is along x, y and z; one of an outline is along the surface's normal. What is
believed beforehand of all of them together is made here, part by part.
"""

from dataclasses import dataclass, field

import numpy as np

from sixwright.numerics.fields import smoothness
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import tangent

# Of outlines, own choices, mm at 1:6: how far what a landmark is off by itself, or by a fault,
# reaches over the skin around it; how far off a sculpt is between its landmarks, and how finely.
BESIDE_MM, GRAIN_MM, GRAIN_REACH_MM = 2.0, 0.08, 1.5


@dataclass(frozen=True, slots=True)
class Lines:
    """Places of outlines, told in fewer numbers than places.

    Attributes
    ----------
    rim, out
        (j, 3) each: where, mm, and unit vectors out of the surface there.
    mix
        (r, j): the sums of moves that are told.
    """

    rim: Floats = field(default_factory=lambda: np.zeros((0, 3)))
    out: Floats = field(default_factory=lambda: np.zeros((0, 3)))
    mix: Floats = field(default_factory=lambda: np.zeros((0, 0)))

    def smooth(self, reach_mm: float, weights: Floats) -> Floats:
        """(j, j): covariance of a smooth field of spread 1 whose x, y and z weigh so (3,)."""
        along: Floats = (self.out * weights) @ self.out.T
        return smoothness(self.rim, reach_mm) * along

    def grain(self) -> Floats:
        """(j, j), mm²: what is believed of a sculpt's errors between its landmarks."""
        return GRAIN_MM**2 * self.smooth(GRAIN_REACH_MM, np.ones(3))

    def near(self, places: Floats) -> Floats:
        """(j, l): how much of what a landmark is off by itself reaches an outline, 0 to 1."""
        away = ((self.rim[:, None] - places[None]) ** 2).sum(axis=2)
        reached: Floats = np.exp(-away / (2 * BESIDE_MM**2))
        return reached

    def beside(self, places: Floats) -> Floats:
        """(j, 3l): how what each landmark (l, 3) is off by itself moves the outlines beside it."""
        moved = self.near(places)[:, :, None] * self.out[:, None]
        flat: Floats = moved.reshape(len(self.rim), 3 * len(places))
        return flat


@dataclass(frozen=True, slots=True)
class Observed:
    """Moves as the stills show them.

    Attributes
    ----------
    places
        (l, 3), mm: where the moves are, at the estimate.
    off
        (3l + r,), mm: of each place along x, y and z, then what outlines tell.
    noise
        (3l + r, 3l + r), mm²: of stills, placement and drawing.
    placing
        (l,), mm: spread of each placement on the sculpt, part of the noise.
    pairs
        Rows of a left place and its right one: they may be off alike, mirrored.
    features
        Rows of places that may be off alike: a nose as a whole.
    widths
        Those of the pairs that only outlines show.
    lines
        Outlines; none without.
    """

    places: Floats
    off: Floats
    noise: Floats
    placing: Floats
    pairs: tuple[tuple[int, int], ...] = ()
    features: tuple[tuple[int, ...], ...] = ()
    widths: tuple[tuple[int, int], ...] = ()
    lines: Lines = field(default_factory=Lines)

    @property
    def marks(self) -> int:
        """3l: how many moves are of landmarks."""
        return 3 * len(self.places)

    def unseen(self) -> Floats:
        """(3l + r, 7): how moves change with a small similarity, which nothing can show."""
        moved = tangent(np.concatenate([self.places, self.lines.rim]))
        of_lines = moved[self.marks :].reshape(len(self.lines.rim), 3, 7)
        rim = np.einsum("ji,jig->jg", self.lines.out, of_lines)
        return np.concatenate([moved[: self.marks], self.lines.mix @ rim])

    def smooth(self, reach_mm: float, weights: Floats) -> Floats:
        """(3l + r, 3l + r): covariance of a smooth field of spread 1, as of `Lines.smooth`."""
        marks = np.kron(smoothness(self.places, reach_mm), np.diag(weights))
        rim, mix = self.lines.rim, self.lines.mix
        away = ((rim[:, None] - self.places[None]) ** 2).sum(axis=2)
        shared = np.exp(-away / (2 * reach_mm**2))[:, :, None] * (self.lines.out * weights)[:, None]
        cross = mix @ shared.reshape(len(rim), self.marks)
        own = mix @ self.lines.smooth(reach_mm, weights) @ mix.T
        whole: Floats = np.block([[marks, cross.T], [cross, own]])
        return whole

    def own(self) -> Floats:
        """(3l + r, 3l + r): covariance of what each landmark is off by itself, of spread 1."""
        moves = np.concatenate([np.eye(self.marks), self.beside()])
        own: Floats = moves @ moves.T
        return own

    def beside(self) -> Floats:
        """(r, 3l): how what each landmark is off by itself moves what outlines tell."""
        moved: Floats = self.lines.mix @ self.lines.beside(self.places)
        return moved

    def with_skin(self, ways: Floats) -> Floats:
        """(w, 3l + r, d): moves of landmarks (w, 3l, d) that the skin around them follows.

        Between several landmarks that move alike the skin moves as they do, and no further.
        """
        near = self.lines.near(self.places)
        moves = ways.reshape(len(ways), len(self.places), 3, ways.shape[2])
        told = np.zeros((len(ways), len(self.lines.mix), ways.shape[2]))
        for way, move in zip(told, moves, strict=True):
            share = near * move.any(axis=(1, 2))
            share /= np.maximum(share.sum(axis=1, keepdims=True), 1.0)
            rim = np.einsum("jl,jx,lxd->jd", share, self.lines.out, move, optimize=True)
            way[...] = self.lines.mix @ rim
        return np.concatenate([ways, told], axis=1)

    def grain(self) -> Floats:
        """(3l + r, 3l + r), mm²: what is believed of errors between landmarks."""
        grain = np.zeros((len(self.off), len(self.off)))
        mix = self.lines.mix
        grain[self.marks :, self.marks :] = mix @ self.lines.grain() @ mix.T
        return grain
