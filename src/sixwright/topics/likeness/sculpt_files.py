"""The files that rounds name, read: what they are, how they were read, and their landmarks."""

from dataclasses import dataclass, replace

from sixwright.kernel.errors import InputError, MeshError
from sixwright.kernel.protocols import Memo
from sixwright.kernel.topic import Tools
from sixwright.line.likeness import Round
from sixwright.line.meshes import Delivery, MeshRef, Odd
from sixwright.topics.likeness.model import Inputs
from sixwright.topics.likeness.person.arrays import placed_on
from sixwright.topics.likeness.sculpts import SculptFile, Vector
from sixwright.topics.likeness.surface import Surface, surface_of


@dataclass(frozen=True, slots=True)
class _SurfaceInputs:
    """What a round's surface rests on."""

    sha256: str
    unit: str
    up: str
    front: str
    inside_out: bool
    placed: tuple[tuple[str, str, Vector], ...]


def sculpt_files(inputs: Inputs, tools: Tools) -> tuple[SculptFile, ...]:
    """Every mesh that a round names, in the folder's order; none where meshes cannot be had.

    Parameters
    ----------
    inputs
        The folder's nouns.
    tools
        `load` brings the meshes in, `memo` remembers what was found on them by their content.
    """
    if tools.load is None:
        return ()
    return tuple(_one(inputs, each, tools) for each in inputs.rounds.values() if each.mesh)


def with_surfaces(inputs: Inputs, files: tuple[SculptFile, ...]) -> Inputs:
    """The inputs with what the meshes say of landmarks, and without the files' own marks.

    Parameters
    ----------
    inputs
        The folder's nouns.
    files
        Their meshes.
    """
    surfaces = {each.round: each.marks for each in files if each.marks}
    return replace(inputs, meshes={}, surfaces=surfaces)


def ref_of(one: Round) -> MeshRef:
    """The mesh that a round names.

    Raises
    ------
    KeyError
        If it names none.
    """
    if one.mesh is None:
        raise KeyError(f"{one.id} must name a mesh.")
    return MeshRef(one.mesh, one.sha256, one.unit, one.up, one.front)


def _one(inputs: Inputs, one: Round, tools: Tools) -> SculptFile:
    ref = ref_of(one)
    try:
        if tools.load is None:
            raise KeyError(one.id)
        delivery: Delivery = tools.load(ref)
    except MeshError as error:
        return SculptFile(one.id, ref.path, str(error), is_there=ref.path in inputs.meshes)
    except InputError as error:
        return SculptFile(one.id, ref.path, f"{ref.path} cannot be read as its row says: {error}")
    marks = _surface(inputs, one, delivery, tools.memo).marks
    size = delivery.mesh.vertices.max(axis=0) - delivery.mesh.vertices.min(axis=0)
    x, y, z = (float(side) for side in size)
    return SculptFile(
        one.id,
        ref.path,
        sha256=delivery.sha256,
        triangles=len(delivery.mesh.faces),
        size_mm=(x, y, z),
        reading=delivery.reading,
        oddities=delivery.oddities,
        marks=marks,
    )


def _surface(inputs: Inputs, one: Round, delivery: Delivery, memo: Memo) -> Surface:
    placed = placed_on(inputs, one.id)
    reading = delivery.reading
    inside_out = any(odd.kind is Odd.INSIDE_OUT for odd in delivery.oddities)
    asked = _SurfaceInputs(
        delivery.sha256,
        reading.unit.value,
        reading.up.value,
        reading.front.value,
        inside_out,
        tuple((*key, (float(p[0]), float(p[1]), float(p[2]))) for key, p in placed.items()),
    )

    def make() -> Surface:
        return surface_of(delivery.mesh, placed, inside_out=inside_out)

    return memo("likeness-surface", asked, Surface, make)
