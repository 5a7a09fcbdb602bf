"""The addresses of one round's sculpt: its mesh to be turned, and landmarks placed on it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Thread
from typing import Annotated

from fastapi import FastAPI, HTTPException, Query, Request, Response
from fastapi.responses import JSONResponse

from sixwright.kernel.errors import InputError
from sixwright.line.meshes import MeshRef
from sixwright.project.model import Project
from sixwright.project.records import Change
from sixwright.reports.pages.sculpt import ref_of, version_of
from sixwright.reports.raster.turned import Turned, turned
from sixwright.storage.carrying import Carried, Carry, carried
from sixwright.storage.meshes.previews import packed
from sixwright.web.open_folder import OpenFolder
from sixwright.web.request_bodies import PlaceRequest, ViewRequest
from sixwright.web.routes import written
from sixwright.web.writes import Standing, Write
from sixwright.workflows.placing import Place, is_there, placed, round_before

GONE = "The file of this round cannot be read any more; nothing was written."
PAST = "The click went past the sculpt; nothing was written."
EXCHANGED = (
    "The sculpt was exchanged since this page showed it; look at it and place it again. "
    "Nothing was written."
)
ELSEWHERE = "That carried place lies elsewhere by now; look at it again. Nothing was written."
NOT_CARRIED = "Nothing is carried there any more; place it by hand. Nothing was written."


@dataclass(frozen=True, slots=True)
class _Sculpt:
    """A round whose file can be used."""

    project: Project
    round: str
    ref: MeshRef
    content: str


def add_sculpt(app: FastAPI, open_folder: OpenFolder) -> None:
    """Give the application what the page of a sculpt asks for."""
    models = open_folder.pictures.models

    def mesh(request: Request, round: str) -> Response:  # noqa: A002 - as in the address
        sculpt = _sculpt(open_folder, round)
        tag = f'"{version_of(sculpt.ref, sculpt.content)}"'
        # The first click shall not wait until five million faces are ready for rays.
        Thread(target=models, args=(sculpt.ref, sculpt.content), daemon=True).start()
        if request.headers.get("if-none-match", "") == tag:
            return Response(status_code=304, headers={"ETag": tag})
        seen = models.preview(sculpt.ref, sculpt.content)
        if seen is None:
            raise HTTPException(404)
        return Response(packed(seen), media_type="application/octet-stream", headers={"ETag": tag})

    def carry(round: str) -> JSONResponse:  # noqa: A002 - as in the address
        found = _carried(open_folder, _sculpt(open_folder, round))
        places = () if found is None else found.places
        return JSONResponse([
            {"key": f"{landmark}/{side}", "place": place, "apart": apart}
            for landmark, side, place, apart in places
        ])  # fmt: skip

    def place(asked: PlaceRequest) -> JSONResponse:
        return _placed(open_folder, asked)

    app.get("/sculpts/{round}/mesh")(mesh)
    app.get("/sculpts/{round}/view")(_view(open_folder))
    app.get("/sculpts/{round}/carried")(carry)
    app.post("/place")(place)


def _sculpt(open_folder: OpenFolder, round_: str) -> _Sculpt:
    """A round whose file can be used; an address that is none otherwise."""
    folder = open_folder.watched.look().folder
    one = None if folder is None else folder.project.rounds.get(round_)
    if folder is None or one is None or not one.mesh:
        raise HTTPException(404)
    ref = ref_of(one)
    content, _ = open_folder.pictures.models.content(ref)
    if not content:
        raise HTTPException(404)
    return _Sculpt(folder.project, round_, ref, content)


def _view(open_folder: OpenFolder) -> Callable[..., Response]:
    """What answers a browser that draws nothing in space: the sculpt from one side."""

    def view(round: str, asked: Annotated[ViewRequest, Query()]) -> Response:  # noqa: A002
        sculpt = _sculpt(open_folder, round)
        model = open_folder.pictures.models(sculpt.ref, sculpt.content)
        if model is None:
            raise HTTPException(404)
        middle = (asked.x, asked.y, asked.z)
        wanted = Turned(asked.yaw, asked.pitch, middle, asked.step, asked.width, asked.height)
        return Response(turned(model, wanted), media_type="image/jpeg")

    return view


def _carried(open_folder: OpenFolder, sculpt: _Sculpt) -> Carried | None:
    before = round_before(sculpt.project, sculpt.round)
    if before is None:
        return None
    models = open_folder.pictures.models
    content, _ = models.content(ref_of(before))
    places = tuple(
        (row.landmark, row.side, row.place_mm)
        for row in sculpt.project.placements
        if row.round == before.id and row.place_mm is not None
    )
    wanted = Carry(ref_of(before), content, sculpt.ref, sculpt.content, places)
    return carried(models, wanted) if content else None


def _placed(open_folder: OpenFolder, asked: PlaceRequest) -> JSONResponse:
    """Meet the full mesh, and write where; or take the landmark out."""
    try:
        where = None if asked.how == "out" else _where(open_folder, asked)
    except InputError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    wanted = Place(asked.round, asked.landmark, asked.side, where, asked.how, asked.was)

    def decide(_asked: PlaceRequest, now: Standing) -> Sequence[Change]:
        return placed(now.records, wanted)

    return written(open_folder, Write("/place", PlaceRequest, decide), asked)


def _where(open_folder: OpenFolder, asked: PlaceRequest) -> tuple[float, float, float]:
    """Where the ray meets the mesh first; or the place that was carried and looked at.

    Raises
    ------
    InputError
        If it meets nothing, the file is gone, or the page showed another mesh or place.
    """
    try:
        sculpt = _sculpt(open_folder, asked.round)
    except HTTPException:
        raise InputError(GONE) from None
    if asked.mesh != version_of(sculpt.ref, sculpt.content):
        raise InputError(EXCHANGED)
    if asked.how == "carried":
        found = _carried(open_folder, sculpt)
        for landmark, side, place, _ in () if found is None else found.places:
            if (landmark, side) == (asked.landmark, asked.side):
                if asked.seen is None or not is_there(place, asked.seen):
                    raise InputError(ELSEWHERE)
                return place
        raise InputError(NOT_CARRIED)
    model = open_folder.pictures.models(sculpt.ref, sculpt.content)
    if model is None:
        raise InputError(GONE)
    met = model.met(asked.start or (0.0, 0.0, 0.0), asked.along or (0.0, 0.0, 0.0))
    if met is None:
        raise InputError(PAST)
    return met
