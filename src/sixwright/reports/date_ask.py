"""Block of the page of dates: how sure is a date, asked on the page."""

from dataclasses import dataclass
from datetime import date

from sixwright.kernel.sentences import Sentence


@dataclass(frozen=True, slots=True)
class DateAsk:
    """A milestone and a date, which can be changed on a page; how sure it is follows at once.

    Attributes
    ----------
    milestones
        Ids and names of those that can be asked for.
    milestone, day
        What is asked first.
    first, last
        Days between which a date can be dragged.
    said
        The answer to what is asked first.
    """

    milestones: tuple[tuple[str, str], ...]
    milestone: str
    day: date
    first: date
    last: date
    said: Sentence
