"""What a request that writes must hold: names and texts, each no longer than it need be."""

from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from sixwright.project.many import MOST_AT_ONCE

MOST_CHANGES = MOST_AT_ONCE
MOST_PX = 2000  # of a side of a picture that is asked for
Short = Annotated[str, StringConstraints(max_length=200)]
Length = Annotated[float, Field(allow_inf_nan=False, ge=-1e9, le=1e9)]
Text = Annotated[str, StringConstraints(max_length=4000)]


class RequestBody(BaseModel):
    """What every write says of the page, its address and the window that it comes from."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    page: Short
    window: Short = ""
    query: Text = ""


class EditRequest(RequestBody):
    """A text for one cell, and what the writer saw there."""

    table: Short
    id: Short
    column: Short
    was: Text
    value: Text


class HeldRequest(RequestBody):
    """What is done with the spreadsheet that is to become a line, and which one the page shows."""

    held: Short


class SayRequest(HeldRequest):
    """What is said of a spreadsheet that is to become a line: of what, by its name, and what."""

    what: Short
    name: Text = ""
    value: Text = ""


class AddRequest(RequestBody):
    """A row to be added."""

    table: Short
    cells: dict[Short, Text]


class ManyRequest(RequestBody):
    """One column of many rows, to get one value or to be multiplied by one factor.

    Attributes
    ----------
    which
        The rows: empty for those in `rows`, ``*`` for all, ``maker:NAME`` for all of a maker.
    how
        ``to`` a value, or ``times`` a factor.
    """

    table: Short
    column: Short
    which: Text = ""
    rows: tuple[Short, ...] = ()
    how: Literal["to", "times"] = "to"
    value: Text


class RemoveRequest(RequestBody):
    """A row to be taken out, with all that is nothing without it."""

    table: Short
    id: Short


class MarkRequest(RequestBody):
    """A landmark marked on a still, and what the page showed of it."""

    still: Short
    landmark: Short
    side: Short
    x_px: Short = ""
    y_px: Short = ""
    sure: Short = "sharp"
    state: Short
    was: Text = ""


class PlaceAgain(BaseModel):
    """Where a landmark was marked a second time."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    landmark: Short
    side: Short
    x_px: Annotated[float, Field(allow_inf_nan=False)]
    y_px: Annotated[float, Field(allow_inf_nan=False)]


class AgainRequest(RequestBody):
    """A still whose landmarks were marked again, blind."""

    still: Short
    places: Annotated[tuple[PlaceAgain, ...], Field(max_length=200)]


class OutlineRequest(RequestBody):
    """An outline as it is drawn on a still, and what the page showed of it."""

    still: Short
    outline: Short
    points: Annotated[tuple[tuple[Short, Short], ...], Field(max_length=400)]
    sure: Short = "sharp"
    was: str = Field("", max_length=20_000)


class PathRequest(RequestBody):
    """Two places of a still, between which a path along its edges is wanted."""

    still: Short
    start: tuple[float, float]
    end: tuple[float, float]


class SculptorRequest(RequestBody):
    """What of what was found on a round its sculptor is asked, by the ids of the rows picked."""

    round: Short
    rows: Annotated[tuple[Short, ...], Field(max_length=200)] = ()


class TopicRequest(RequestBody):
    """A question whose answer is to be stopped, or gone on with."""

    topic: Short


class ArrivalRequest(RequestBody):
    """A mesh that came and is not kept yet."""

    arrival: Short


class ReadRequest(ArrivalRequest):
    """How such a mesh is to be read: another unit, or a quarter turn."""

    unit: Short = ""
    turn: Short = ""


class KeepMeshRequest(ArrivalRequest):
    """As what such a mesh is to be kept; whom it depicts where it is a head of its own.

    Attributes
    ----------
    seen
        How the page showed that it is read.
    """

    seen: Short
    kept_as: Short
    person: Short = ""


Triple = tuple[Length, Length, Length]


class ViewRequest(BaseModel):
    """From where a sculpt is drawn: degrees, what lies in the middle, and a pixel in mm."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    yaw: Length = 0.0
    pitch: Length = 0.0
    x: Length = 0.0
    y: Length = 0.0
    z: Length = 0.0
    step: Annotated[float, Field(gt=1e-4, lt=1e3)] = 0.1
    width: Annotated[int, Field(ge=1, le=MOST_PX)] = 400
    height: Annotated[int, Field(ge=1, le=MOST_PX)] = 400


class PlaceRequest(RequestBody):
    """A landmark on a round's mesh: where a ray meets it, a place that was carried, or nowhere.

    Attributes
    ----------
    start, along
        Of the ray, mm in the sculpt frame; what is carried is asked for by no ray.
    how
        ``placed`` where the ray meets the mesh, ``carried`` at the carried place, ``out`` for none.
    mesh, seen
        Which mesh the page showed, and where it showed what is carried.
    was
        What the page showed of it.
    """

    round: Short
    landmark: Short
    side: Short
    how: Literal["placed", "carried", "out"]
    start: Triple | None = None
    along: Triple | None = None
    mesh: Short = ""
    seen: Triple | None = None
    was: Text = ""


class FindingRequest(RequestBody):
    """A finding whose acceptance is taken back."""

    finding: Short


class SeenFindingRequest(FindingRequest):
    """A finding whose fix is to be written, and what the page showed of it."""

    seen: Short


class AcceptRequest(SeenFindingRequest):
    """A finding that somebody accepts, and why."""

    by: Short
    reason: Text


class UndoRequest(RequestBody):
    """An edit of the history that is to be taken back, or one that took another back."""

    edit: Short


class RestoreRequest(RequestBody):
    """A moment that the folder is to go back to."""

    moment: datetime


class ChangeRequest(BaseModel):
    """A change that is tried."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    table: Short
    id: Short
    column: Short | None = None
    was: Text | None = None
    value: Text | None = None
    add: dict[Short, Text] | None = None
    remove: bool = False
    behind: Short | None = None


class TriedRequest(RequestBody):
    """What was tried, to be written now."""

    changes: Annotated[tuple[ChangeRequest, ...], Field(max_length=MOST_CHANGES)]


class KeepRequest(TriedRequest):
    """What was tried, to be kept as a way of a choice, or of a new question."""

    name: Short
    choice: Short = ""
    question: Short = ""


class TakeRequest(RequestBody):
    """A way that somebody takes, and why."""

    choice: Short
    seen: Short
    alternative: Short
    by: Short
    reason: Text


class ReopenRequest(RequestBody):
    """A choice that is to be open again."""

    choice: Short


class Step(BaseModel):
    """One more thing to try: the address that would write it, and what it would be asked."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    path: Short
    body: dict[Short, str | tuple[Short, ...] | dict[Short, Text]]


class TryRequest(TriedRequest):
    """What is tried so far, and one step more."""

    step: Step | None = None
