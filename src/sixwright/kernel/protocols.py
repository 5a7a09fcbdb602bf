"""What the core asks of the shell: a clock, a disk, a memory of results."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Protocol, TypeVar

T = TypeVar("T")


class Clock(Protocol):
    """Tells the time; only the shell owns one."""

    def __call__(self) -> datetime:
        """The present moment, with its time zone."""


class Memo(Protocol):
    """Remembers what a pure function answered for given inputs."""

    def __call__(
        self,
        name: str,
        version: int,
        inputs: Mapping[str, object],
        make: Callable[[], T],
    ) -> T:
        """The answer of `make`, from memory where the same inputs were met before."""
