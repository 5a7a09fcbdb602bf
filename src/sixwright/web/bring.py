"""The spreadsheet that a server holds for its empty folder; nothing of it is written."""

from hashlib import sha256
from threading import Lock

from sixwright.importer.arrival import ArrivedSheet
from sixwright.importer.guess import Guess
from sixwright.kernel.errors import InputError

MOVED = (
    "In another window {what} meanwhile; this page shows it now. Nothing was written. Do it once "
    "more if you still want it."
)


class Brought:
    """The spreadsheet that a server holds for its empty folder, and how it is read now.

    Several windows may show it. So each says what it shows, by `held`: what another window
    brought or said meanwhile is replaced by nothing that was decided without seeing it.

    Attributes
    ----------
    held
        Names the spreadsheet and all that was said of it, ``file.said``; empty while there is none.
    """

    def __init__(self) -> None:
        self.arrival: ArrivedSheet | None = None
        self.read: Guess | None = None
        self.held = ""
        self._lock = Lock()

    def hold(self, arrival: ArrivedSheet | None, *, shown: str, whole: bool = True) -> None:
        """Hold another one, or none; what was held stays where the other cannot be read.

        Parameters
        ----------
        shown
            The `held` of the page that asks.
        whole
            Whether all that was said must be as that page shows it; else the spreadsheet alone.

        Raises
        ------
        FolderError
            As `ArrivedSheet.guess`.
        InputError
            If the page shows another spreadsheet than is held, or none.
        """
        read = None if arrival is None else arrival.guess()
        with self._lock:
            self.check(shown, whole=whole)
            self.arrival, self.read = arrival, read
            self.held = "" if arrival is None else _name(arrival)

    def check(self, shown: str, *, whole: bool = True) -> None:
        """Refuse what was decided on a page that shows something else; nothing held is no matter.

        Raises
        ------
        InputError
            If that is so.
        """
        if self.arrival is None:
            return
        if _file(shown) != _file(self.held):
            raise InputError(MOVED.format(what=f"“{self.arrival.name}” was brought in"))
        if whole and shown != self.held:
            raise InputError(MOVED.format(what="something was said of this spreadsheet"))


def _name(arrival: ArrivedSheet) -> str:
    said = (arrival.columns, arrival.kinds, arrival.currency, arrival.kind, arrival.sheet,
            arrival.hidden)  # fmt: skip
    file = sha256(arrival.content)
    file.update(arrival.name.encode())
    return f"{file.hexdigest()[:16]}.{sha256(repr(said).encode()).hexdigest()[:16]}"


def _file(held: str) -> str:
    return held.partition(".")[0]
