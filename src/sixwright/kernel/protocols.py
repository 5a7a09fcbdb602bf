"""What the core asks of the shell: a clock, a disk, a memory of results."""

from collections.abc import Callable
from datetime import datetime
from typing import Protocol, TypeVar

T = TypeVar("T")
Ref_contra = TypeVar("Ref_contra", contravariant=True)
Loaded_co = TypeVar("Loaded_co", covariant=True)


class Clock(Protocol):
    """Tells the time; only the shell owns one."""

    def __call__(self) -> datetime:
        """The present moment, with its time zone."""


class Memo(Protocol):
    """Remembers what a pure function answered for given inputs."""

    def __call__(self, name: str, inputs: object, kind: type[T], make: Callable[[], T], /) -> T:
        """The answer of `make`, of type `kind`; from memory where these inputs were met before."""


class Load(Protocol[Ref_contra, Loaded_co]):
    """Brings in what a reference names, such as a mesh; the same each time, and soon the second."""

    def __call__(self, ref: Ref_contra, /) -> Loaded_co:
        """What the reference names, read and put in the project's own terms."""


class Later(Protocol):
    """Works out what takes long while its caller goes on."""

    def __call__(self, name: str, inputs: object, make: Callable[[], T], /) -> T | None:
        """The answer of `make` where it is known by now; else None, and it is under way.

        Raises
        ------
        StoppedError
            If it was stopped, and nobody has asked for it since.
        """


def no_memo(_name: str, _inputs: object, _kind: type[T], make: Callable[[], T], /) -> T:
    """A memory that remembers nothing."""
    return make()
