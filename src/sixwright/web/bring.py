"""The spreadsheet that a server holds for its empty folder; nothing of it is written."""

from sixwright.importer.arrival import Arrival
from sixwright.importer.guess import Guess


class Brought:
    """The spreadsheet that a server holds for its empty folder, and how it is read now."""

    def __init__(self) -> None:
        self.arrival: Arrival | None = None
        self.read: Guess | None = None

    def hold(self, arrival: Arrival | None) -> None:
        """Hold another one, or none; what was held stays where the other cannot be read.

        Raises
        ------
        FolderError
            As `Arrival.guess`.
        """
        read = None if arrival is None else arrival.guess()
        self.arrival, self.read = arrival, read
