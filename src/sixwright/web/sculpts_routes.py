"""The addresses of sculpts besides their pages: a mesh file comes, is looked at, and is kept."""

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from urllib.parse import unquote

from fastapi import FastAPI, HTTPException, Request, Response
from fastapi.responses import JSONResponse
from starlette.requests import ClientDisconnect

from sixwright.kernel.errors import InputError, MeshError, SixwrightError, shown
from sixwright.project.records import Change
from sixwright.reports.pages.arriving import FILL, NEXT, reading_version
from sixwright.reports.raster.laid import laid
from sixwright.storage.bring_mesh import BroughtMesh, MeshDestination, named, round_with
from sixwright.storage.meshes.arriving import Intake, looked
from sixwright.web.arrivals import Coming
from sixwright.web.bring_routes import NAME
from sixwright.web.guard import MESH, MESH_S, MESH_TOO_LARGE, TOO_SLOW
from sixwright.web.open_folder import OpenFolder
from sixwright.web.request_bodies import ArrivalRequest, KeepMeshRequest, ReadRequest, RequestBody
from sixwright.web.routes import written
from sixwright.web.writes import Standing, Write
from sixwright.workflows.shown import check_shown

PAGE = "/sculpts"
MOST_LETTERS = 200
PUT_AWAY = "The mesh was put away; nothing was written."
READ_ANEW = "Read anew; nothing is written yet."
NOT_SEEN = "That mesh is still being looked at; nothing was written."
NO_ROOM = "The disk is full or refuses: the mesh could not be taken in. Make room and try again."


def add_sculpts(app: FastAPI, open_folder: OpenFolder) -> None:
    """Give the application what its pages of sculpts ask for."""

    async def mesh(request: Request) -> JSONResponse:
        name = shown(unquote(request.headers.get(NAME, "")))[:MOST_LETTERS] or "the file"
        return await _taken(open_folder, request, name)

    def read_as(asked: ReadRequest) -> JSONResponse:
        def read() -> None:
            open_folder.arrivals.get(asked.arrival).read_as(asked.unit, asked.turn)

        return _answered(open_folder, asked, read, READ_ANEW)

    def put_away(asked: ArrivalRequest) -> JSONResponse:
        return _answered(
            open_folder, asked, lambda: open_folder.arrivals.end(asked.arrival), PUT_AWAY
        )

    def keep(asked: KeepMeshRequest) -> JSONResponse:
        return _kept(open_folder, asked)

    app.post(MESH)(mesh)
    app.post("/read-mesh")(read_as)
    app.post("/put-mesh-away")(put_away)
    app.post("/keep-mesh")(keep)
    app.get("/arrivals/{arrival}/picture")(_picture(open_folder))
    app.get("/arrivals/{arrival}")(_stage(open_folder))


async def _taken(open_folder: OpenFolder, request: Request, name: str) -> JSONResponse:
    """Take a file in, beside any folder; what does not come whole goes at once."""
    try:
        coming = open_folder.arrivals.begin(name)
    except SixwrightError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    refused: tuple[str, int] | None = None
    checksum = ""
    try:
        async with asyncio.timeout(MESH_S):
            checksum = await _streamed(request, coming)
    except TimeoutError:
        refused = (TOO_SLOW, 408)
    except ClientDisconnect:
        refused = (PUT_AWAY, 400)
    except MeshError:
        refused = (MESH_TOO_LARGE, 413)
    except OSError:
        refused = (NO_ROOM, 507)
    folder = open_folder.watched.look().folder
    known = None if folder is None else round_with(folder.project, checksum)
    if known is not None:
        refused = (f"{name} is {named(known)} already; nothing was written.", 422)
    if refused is not None:
        open_folder.arrivals.end(coming.id)
        return JSONResponse({"kind": "refused", "said": refused[0]}, refused[1])
    coming.whole(checksum)
    return JSONResponse({"kind": "arrived", "said": f"{name} has come.", "arrival": coming.id})


async def _streamed(request: Request, coming: Coming) -> str:
    """The checksum of a body that was written to the disk as it came."""
    intake = Intake(coming.file)
    try:
        async for piece in request.stream():
            if intake.add(piece):
                await asyncio.to_thread(intake.write)
        return await asyncio.to_thread(intake.whole)
    finally:
        intake.close()


def _answered(
    open_folder: OpenFolder, asked: RequestBody, do: Callable[[], None], said: str
) -> JSONResponse:
    """Do what writes nothing, and show the page as it then is."""
    try:
        do()
    except SixwrightError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    path = asked.page if open_folder.has(asked.page) else PAGE
    page = open_folder.draw(path, open_folder.watched.look(), query=asked.query)
    return JSONResponse({"kind": "written", "said": said, "page": page})


def _kept(open_folder: OpenFolder, asked: KeepMeshRequest) -> JSONResponse:
    """Copy it into the folder and add its rows; the copy goes where there are none."""
    try:
        coming = open_folder.arrivals.get(asked.arrival)
        reading = None if coming.sight is None else coming.sight.reading(coming.ref)
        if coming.sight is None or reading is None:
            raise InputError(NOT_SEEN)
        check_shown(reading_version(reading), asked.seen)
    except SixwrightError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    came = BroughtMesh(coming.name, coming.file, coming.sha256, coming.sight.ending)
    wanted = MeshDestination(
        _behind(asked.kept_as, NEXT), _behind(asked.kept_as, FILL), asked.person.strip()
    )

    def decide(_asked: RequestBody, now: Standing) -> Sequence[Change]:
        return came.laid_in(now.folder, reading, wanted, now.on)

    answer = written(open_folder, Write("/keep-mesh", KeepMeshRequest, decide), asked,
                     then=lambda: _settled(open_folder, came, coming))  # fmt: skip
    if answer.status_code != 200:
        came.take_away(open_folder.watched.path)
    return answer


def _settled(open_folder: OpenFolder, came: BroughtMesh, coming: Coming) -> None:
    """Its row is written: what came is not needed any more."""
    with suppress(SixwrightError):  # the page will say that the file is not there
        came.stays(open_folder.watched.path)
    open_folder.arrivals.end(coming.id)


def _behind(text: str, begin: str) -> str:
    return text.removeprefix(begin) if text.startswith(begin) else ""


def _stage(open_folder: OpenFolder) -> Callable[[str], JSONResponse]:
    """What answers a page that follows how far a mesh is."""

    def stage(arrival: str) -> JSONResponse:
        with suppress(InputError):
            return JSONResponse({"stage": open_folder.arrivals.get(arrival).stage.value})
        return JSONResponse({"stage": "ended"})

    return stage


def _picture(open_folder: OpenFolder) -> Callable[[str], Response]:
    """What answers the address of a mesh's picture as it is read now."""

    def picture(arrival: str) -> Response:
        with suppress(InputError, OSError):
            coming = open_folder.arrivals.get(arrival)
            if coming.sight is not None:
                mesh = looked(coming.look, coming.sight.reading(coming.ref))
                if mesh is not None:
                    return Response(laid(mesh), media_type="image/jpeg")
        raise HTTPException(404)

    return picture
