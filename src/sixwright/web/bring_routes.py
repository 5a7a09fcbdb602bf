"""The addresses of an empty folder: a spreadsheet comes, is spoken of, and becomes a line."""

from collections.abc import Callable
from urllib.parse import unquote

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from sixwright.importer.arrival import ArrivedSheet, arrived
from sixwright.importer.new_line import is_empty, new_bare_line, new_from_guess, new_line
from sixwright.kernel.errors import FolderError, InputError, SixwrightError
from sixwright.reports.document import Link
from sixwright.reports.pages.sculpts import QUESTION as DELIVERED
from sixwright.reports.pages.sculpts import TOPIC as SCULPTS
from sixwright.web.guard import MOST_SHEET_BYTES, SPREADSHEET, TOO_LARGE
from sixwright.web.open_folder import OpenFolder
from sixwright.web.pages.view import link_address
from sixwright.web.request_bodies import HeldRequest, RequestBody, SayRequest

TO_SCULPTS = Link(SCULPTS, "", DELIVERED)
NAME = "x-sixwright-name"
HELD = "x-sixwright-held"
HAS_LINE = "There is a line in this folder already; nothing was written."
NOTHING_CAME = "There is no spreadsheet here any more; drop it once more. Nothing was written."


def add_bring_routes(app: FastAPI, open_folder: OpenFolder) -> None:
    """Give the application what the home of an empty folder asks for."""

    async def spreadsheet(request: Request) -> JSONResponse:
        content = bytearray()
        async for piece in request.stream():
            content.extend(piece)
            if len(content) > MOST_SHEET_BYTES:
                return JSONResponse({"kind": "refused", "said": TOO_LARGE}, 413)
        name, shown = unquote(request.headers.get(NAME, "")), request.headers.get(HELD, "")
        return await run_in_threadpool(
            _answered, open_folder, lambda: _bring(open_folder, name, bytes(content), shown)
        )

    def say(asked: SayRequest) -> JSONResponse:
        return _answered(open_folder, lambda: _say(open_folder, asked))

    def discard(asked: HeldRequest) -> JSONResponse:
        return _answered(open_folder, lambda: _discard(open_folder, asked))

    def make(asked: HeldRequest) -> JSONResponse:
        return _answered(open_folder, lambda: _make(open_folder, asked))

    def make_sample(_asked: RequestBody) -> JSONResponse:
        return _answered(open_folder, lambda: _make_sample(open_folder))

    def make_bare(_asked: RequestBody) -> JSONResponse:
        return _answered(open_folder, lambda: _make_bare(open_folder), (TO_SCULPTS,))

    app.post(SPREADSHEET)(spreadsheet)
    app.post("/say")(say)
    app.post("/discard")(discard)
    app.post("/make-line")(make)
    app.post("/make-sample")(make_sample)
    app.post("/make-bare")(make_bare)


def _answered(
    open_folder: OpenFolder, do: Callable[[], str], after: tuple[Link, ...] = ()
) -> JSONResponse:
    """Do it where the folder is still empty, and show the page as it then is.

    `after` are the ways on once it is done.
    """
    try:
        if not is_empty(open_folder.watched.path):
            raise InputError(HAS_LINE)
        said = do()
    except FolderError as error:
        told = " ".join(str(problem) for problem in error.problems)
        return JSONResponse({"kind": "refused", "said": f"{told} Nothing was written."}, 422)
    except SixwrightError as error:
        page = open_folder.draw("/", open_folder.watched.look())
        return JSONResponse({"kind": "refused", "said": str(error), "page": page}, 422)
    state = open_folder.watched.look()
    page = open_folder.draw("/", state)
    answer = {"kind": "written", "said": said, "page": page, "version": state.version}
    links = [{"href": link_address(link), "words": link.words} for link in after]
    return JSONResponse(answer | {"next": links})


def _bring(open_folder: OpenFolder, name: str, content: bytes, shown: str) -> str:
    arrival = arrived(name, content)
    open_folder.brought.hold(arrival, shown=shown, whole=False)
    return f"{arrival.name} was read; nothing is written yet."


def _say(open_folder: OpenFolder, asked: SayRequest) -> str:
    said = _there(open_folder).said(asked.what, asked.name, asked.value)
    open_folder.brought.hold(said, shown=asked.held, whole=False)
    return "Read anew; nothing is written yet."


def _discard(open_folder: OpenFolder, asked: HeldRequest) -> str:
    open_folder.brought.hold(None, shown=asked.held)
    return "The spreadsheet was put away; nothing was written."


def _make(open_folder: OpenFolder, asked: HeldRequest) -> str:
    arrival = _there(open_folder)
    open_folder.brought.check(asked.held)
    guess = arrival.guess()
    new_from_guess(open_folder.watched.path, guess, today=open_folder.watched.now().date())
    open_folder.brought.hold(None, shown=open_folder.brought.held)
    return f"The line was made: {guess.counted()}. Your spreadsheet stays as it is."


def _make_sample(open_folder: OpenFolder) -> str:
    new_line(open_folder.watched.path, today=open_folder.watched.now().date())
    return "A small invented line was made, to look around in."


def _make_bare(open_folder: OpenFolder) -> str:
    new_bare_line(open_folder.watched.path, today=open_folder.watched.now().date())
    return "A line without parts was made."


def _there(open_folder: OpenFolder) -> ArrivedSheet:
    if open_folder.brought.arrival is None:
        raise InputError(NOTHING_CAME)
    return open_folder.brought.arrival
