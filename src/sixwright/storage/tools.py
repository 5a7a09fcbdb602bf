"""What answers about one folder may use beside their inputs: a memory, and its meshes."""

from dataclasses import dataclass, replace
from pathlib import Path

from sixwright.kernel.topic import Tools
from sixwright.line.meshes import Delivery, MeshRef
from sixwright.storage.cache import TOOLS, memo


@dataclass(frozen=True, slots=True)
class Meshes:
    """Brings in a folder's meshes; what reads them is imported with the first one asked for."""

    folder: Path

    def __call__(self, ref: MeshRef, /) -> Delivery:
        """The mesh that a row names.

        Raises
        ------
        MeshError, InputError
            As `storage.meshes.load.MeshLoader` does.
        """
        from sixwright.storage.meshes.load import MeshLoader

        return MeshLoader(self.folder, memo)(ref)


def tools_for(folder: Path) -> Tools:
    """The tools of a folder's answers.

    Parameters
    ----------
    folder
        The line's.
    """
    return replace(TOOLS, load=Meshes(folder))
