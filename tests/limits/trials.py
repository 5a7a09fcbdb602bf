"""What a trial of a limit is: how it is stated, and what is said of one more."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Trial:
    """A row of docs/limits.md.

    Attributes
    ----------
    stated
        The limit as the page states it, made of the value that the code goes by.
    said
        Goes one beyond it in an empty folder; gives all that is said.
    slow
        Takes more than some seconds.
    """

    stated: str
    said: Callable[[Path], str]
    slow: bool = False
