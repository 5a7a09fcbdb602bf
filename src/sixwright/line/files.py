"""What is known of a large file of the folder without reading it: enough to see that it changed."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FileMark:
    """A file as it lies there.

    Attributes
    ----------
    size
        Bytes.
    changed_ns
        When it was last changed, nanoseconds of the system's clock.
    """

    size: int
    changed_ns: int
