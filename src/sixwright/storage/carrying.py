"""Landmarks of one round, carried to another: where they lie once the one is laid on the other."""

from dataclasses import dataclass

import numpy as np

from sixwright.line.meshes import MeshRef
from sixwright.numerics.mesh.laying import laid_on
from sixwright.numerics.mesh.nearest import nearest
from sixwright.storage.cache import memo
from sixwright.storage.models import Models

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Carry:
    """What carrying rests on.

    Attributes
    ----------
    places
        On the earlier round: landmark, side and place, mm in its sculpt frame.
    """

    before: MeshRef
    before_sha256: str
    after: MeshRef
    after_sha256: str
    places: tuple[tuple[str, str, Vector], ...]


@dataclass(frozen=True, slots=True)
class Carried:
    """Where the landmarks lie on the later round: the nearest places of its full mesh.

    Attributes
    ----------
    places
        Landmark, side, place, and how far the surface lies from where the earlier one had it, mm.
    """

    places: tuple[tuple[str, str, Vector, float], ...]


def carried(models: Models, wanted: Carry) -> Carried | None:
    """The places on the later round; None where a mesh cannot be read any more.

    Source
    ------
    `numerics.mesh.laying` on the previews, `numerics.mesh.nearest` on the full mesh.
    """
    old = models.preview(wanted.before, wanted.before_sha256)
    new = models.preview(wanted.after, wanted.after_sha256)
    model = models(wanted.after, wanted.after_sha256)
    if old is None or new is None or model is None or not wanted.places:
        return None

    def make() -> Carried:
        moved = laid_on(old, new).of(np.array([place for _, _, place in wanted.places]))
        found = nearest(model.tree.mesh, moved)
        return Carried(
            tuple(
                (landmark, side, (float(x), float(y), float(z)), float(apart))
                for (landmark, side, _), (x, y, z), apart in zip(
                    wanted.places, found.place, found.distance, strict=True
                )
            )
        )

    return memo("carried", wanted, Carried, make)
