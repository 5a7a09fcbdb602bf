"""The block of a sculptor's page: what is asked, each with its picture and room for an answer."""

from dataclasses import dataclass

from sixwright.kernel.pictures import Drawing
from sixwright.line.shots import AskedChange

PICTURE_PX = (360, 360)  # of a picture made of points


@dataclass(frozen=True, slots=True)
class AskCard:
    """One ask.

    Attributes
    ----------
    number
        From 1, as the page counts them.
    words
        What is asked, as it was kept.
    said
        The state and the answer, where there is one already.
    shot, drawing
        Its picture: made of points where the round has a mesh, else drawn; or neither.
    summary, caption
        The picture's content in words, and what stands under it.
    """

    number: int
    words: str
    said: str = ""
    shot: AskedChange | None = None
    drawing: Drawing | None = None
    summary: str = ""
    caption: str = ""


@dataclass(frozen=True, slots=True)
class AskCards:
    """All of them."""

    cards: tuple[AskCard, ...]
