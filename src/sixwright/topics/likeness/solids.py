"""The meshes of a line's rounds as bodies: what a camera sees of them, and what they hide."""

from collections.abc import Callable
from dataclasses import dataclass, field

from sixwright.kernel.topic import Tools
from sixwright.numerics.mesh.model import Flags, Mesh
from sixwright.numerics.mesh.rays import RayTree
from sixwright.numerics.mesh.rims import Rim, seen_rim
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.model import Inputs
from sixwright.topics.likeness.sculpt_files import ref_of
from sixwright.topics.likeness.sculpts import SculptFile


@dataclass(slots=True)
class Solid:
    """A mesh, mm at 1:6 in the sculpt frame of its round; its ray tree is made when asked for.

    Attributes
    ----------
    mesh
        With a face.
    inside_out
        Whether its triangles look inward.
    """

    mesh: Mesh
    inside_out: bool = False
    _tree: RayTree | None = field(default=None, init=False, repr=False)

    @property
    def tree(self) -> RayTree:
        """The mesh made ready for rays."""
        if self._tree is None:
            self._tree = RayTree(self.mesh)
        return self._tree

    def rim(self, eye: Floats) -> Rim:
        """The outline that an eye (3,) sees of it."""
        return seen_rim(self.tree, eye, inside_out=self.inside_out)

    def sees(self, eye: Floats, places: Floats, *, within: float) -> Flags:
        """(p,): whether nothing stands between an eye (3,) and places (p, 3)."""
        return self.tree.sees(eye, places, within=within)


Solids = Callable[[str], Solid | None]  # by round; None where it has no mesh that can be used


def no_solids(_round: str) -> None:
    """No round has a mesh."""
    return


def solids_of(inputs: Inputs, files: tuple[SculptFile, ...], tools: Tools) -> Solids:
    """The meshes of rounds, brought in when first asked for.

    Parameters
    ----------
    inputs
        The folder's nouns.
    files
        What is known of their meshes.
    tools
        `load` brings them in.
    """
    known = {file.round: file for file in files if file.reading is not None}
    held: dict[str, Solid] = {}

    def solid(round_: str) -> Solid | None:
        if round_ not in known or tools.load is None:
            return None
        if round_ not in held:
            mesh = tools.load(ref_of(inputs.rounds[round_])).mesh
            held[round_] = Solid(mesh, known[round_].is_inside_out)
        return held[round_]

    return solid
