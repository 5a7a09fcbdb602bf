"""The addresses of stills besides their pages: a file comes, and is shown as a picture."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from urllib.parse import unquote

from fastapi import FastAPI, HTTPException, Request, Response
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from sixwright.kernel.errors import SixwrightError
from sixwright.project.records import Change
from sixwright.reports.wording.hands import told_hand
from sixwright.reports.wording.refusals import UNREADABLE
from sixwright.reports.wording.words import say
from sixwright.storage.bring_still import arrived
from sixwright.storage.still_edges import path_between
from sixwright.storage.still_views import still_view
from sixwright.web.bring_routes import NAME
from sixwright.web.guard import STILL
from sixwright.web.open_folder import OpenFolder
from sixwright.web.request_bodies import AgainRequest, PathRequest, RequestBody
from sixwright.web.routes import written
from sixwright.web.watched_folder import WatchedFolder
from sixwright.web.writes import Standing, Write, hand_asked

PERSON, WINDOW = "x-sixwright-person", "x-sixwright-window"
REPLACES = "x-sixwright-replaces"
PAGE = "/stills"
MOST_LETTERS = 200
ROW_ALONE = "Its row was written; the picture is not there any more. Copy it to {} yourself."


@dataclass(frozen=True, slots=True)
class PictureRequest:
    """Whom a picture shows, the window that it comes from, and the still that it replaces."""

    person: str
    window: str
    replaces: str = ""


def add_stills(app: FastAPI, open_folder: OpenFolder) -> None:
    """Give the application what its pages of stills ask for."""
    app.get("/stills/{still}/picture")(_picture(open_folder.watched))

    async def still(request: Request) -> JSONResponse:
        name, person, window, replaces = (
            unquote(request.headers.get(each, ""))[:MOST_LETTERS]
            for each in (NAME, PERSON, WINDOW, REPLACES)
        )
        content = await request.body()  # counted by the guard as it arrived
        return await run_in_threadpool(
            _bring, open_folder, name, content, PictureRequest(person, window, replaces)
        )

    def spreads(asked: AgainRequest) -> JSONResponse:
        return _spreads(open_folder, asked)

    app.post(STILL)(still)
    app.post("/spreads")(spreads)

    def path(asked: PathRequest) -> JSONResponse:
        return _path(open_folder, asked)

    app.post("/outline-path")(path)


def _path(open_folder: OpenFolder, asked: PathRequest) -> JSONResponse:
    """Places along a still's edges between two of its places; nothing is written."""
    folder = open_folder.watched.look().folder
    row = None if folder is None else folder.project.stills.get(asked.still)
    found = None if folder is None or row is None else folder.project.pictures.get(row.file or "")
    if folder is None or row is None or found is None:
        return JSONResponse({"kind": "refused", "said": "There is no such picture."}, 404)
    try:
        places = path_between(folder.path, row.file or "", found, asked.start, asked.end)
    except (OSError, SixwrightError) as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    return JSONResponse({"kind": "path", "said": "", "points": places})


def _spreads(open_folder: OpenFolder, asked: AgainRequest) -> JSONResponse:
    """How surely a still was marked, in sentences; nothing is written."""
    folder = open_folder.watched.look().folder
    if folder is None:
        return JSONResponse({"kind": "unreadable", "said": UNREADABLE}, 503)
    try:
        hand = hand_asked(asked, folder.project)
    except SixwrightError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    locale = folder.project.locale
    said = " ".join(say(sentence, locale) for sentence in told_hand(hand))
    return JSONResponse({"kind": "told", "said": said})


def _bring(
    open_folder: OpenFolder, name: str, content: bytes, wanted: PictureRequest
) -> JSONResponse:
    """Check it, copy it into the folder and write its row; the copy goes where there is no row."""
    try:
        came = arrived(name, content)
    except SixwrightError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)

    def decide(_asked: RequestBody, now: Standing) -> Sequence[Change]:
        if wanted.replaces:
            return came.in_place_of(now.folder, wanted.replaces)
        return (came.laid_in(now.folder, wanted.person),)

    page = f"{PAGE}/{wanted.replaces}" if wanted.replaces else PAGE
    asked = RequestBody(page=page, window=wanted.window)
    answer = written(open_folder, Write(STILL, RequestBody, decide), asked)
    try:
        if answer.status_code == 200:
            came.stays(open_folder.watched.path)
        else:
            came.take_away(open_folder.watched.path)
    except SixwrightError as error:
        said = ROW_ALONE.format(came.file)
        return JSONResponse({"kind": "written", "said": f"{said} {error}", "page": ""})
    return answer


def _picture(watched: WatchedFolder) -> Callable[[Request, str], Response]:
    """What answers the address of a still's picture."""

    def picture(request: Request, still: str) -> Response:
        folder = watched.look().folder
        row = None if folder is None else folder.project.stills.get(still)
        if folder is None or row is None or not row.file:
            raise HTTPException(404)
        found = folder.project.pictures.get(row.file)
        if found is None:
            raise HTTPException(404)
        tag = f'"{found.sha256}-{"-".join(str(wide) for wide in row.bars_px)}"'
        if request.headers.get("if-none-match", "") == tag:
            return Response(status_code=304, headers={"ETag": tag})
        made = still_view(folder.path, row.file, found, row.bars_px)
        if made is None:
            raise HTTPException(404)
        return Response(made, media_type="image/jpeg", headers={"ETag": tag})

    return picture
