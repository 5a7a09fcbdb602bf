"""The addresses of an empty folder: a spreadsheet comes, is spoken of, and becomes a line."""

from collections.abc import Callable
from urllib.parse import unquote

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from sixwright.importer.arrival import Arrival, arrived
from sixwright.importer.new_line import is_empty, new_from_guess, new_line
from sixwright.kernel.errors import FolderError, InputError, SixwrightError
from sixwright.web.desk import Desk
from sixwright.web.guard import MOST_SHEET_BYTES, SPREADSHEET, TOO_LARGE
from sixwright.web.request_bodies import Asked, SayAsked

NAME = "x-sixwright-name"
HAS_LINE = "There is a line in this folder already; nothing was written."
NOTHING_CAME = "There is no spreadsheet here any more; drop it once more. Nothing was written."


def add_bring_routes(app: FastAPI, desk: Desk) -> None:
    """Give the application what the home of an empty folder asks for."""

    async def spreadsheet(request: Request) -> JSONResponse:
        content = bytearray()
        async for piece in request.stream():
            content.extend(piece)
            if len(content) > MOST_SHEET_BYTES:
                return JSONResponse({"kind": "refused", "said": TOO_LARGE}, 413)
        name = unquote(request.headers.get(NAME, ""))
        return await run_in_threadpool(_answered, desk, lambda: _bring(desk, name, bytes(content)))

    def say(asked: SayAsked) -> JSONResponse:
        return _answered(desk, lambda: _say(desk, asked))

    def discard(_asked: Asked) -> JSONResponse:
        return _answered(desk, lambda: _discard(desk))

    def make(_asked: Asked) -> JSONResponse:
        return _answered(desk, lambda: _make(desk))

    def make_sample(_asked: Asked) -> JSONResponse:
        return _answered(desk, lambda: _make_sample(desk))

    app.post(SPREADSHEET)(spreadsheet)
    app.post("/say")(say)
    app.post("/discard")(discard)
    app.post("/make-line")(make)
    app.post("/make-sample")(make_sample)


def _answered(desk: Desk, do: Callable[[], str]) -> JSONResponse:
    """Do it where the folder is still empty, and show the page as it then is."""
    try:
        if not is_empty(desk.live.path):
            raise InputError(HAS_LINE)
        said = do()
    except FolderError as error:
        told = " ".join(str(problem) for problem in error.problems)
        return JSONResponse({"kind": "refused", "said": f"{told} Nothing was written."}, 422)
    except SixwrightError as error:
        return JSONResponse({"kind": "refused", "said": str(error)}, 422)
    state = desk.live.look()
    page = desk.draw("/", state)
    return JSONResponse({"kind": "written", "said": said, "page": page, "version": state.version})


def _bring(desk: Desk, name: str, content: bytes) -> str:
    arrival = arrived(name, content)
    desk.brought.hold(arrival)
    return f"{arrival.name} was read; nothing is written yet."


def _say(desk: Desk, asked: SayAsked) -> str:
    desk.brought.hold(_there(desk).said(asked.what, asked.name, asked.value))
    return "Read anew; nothing is written yet."


def _discard(desk: Desk) -> str:
    desk.brought.hold(None)
    return "The spreadsheet was put away; nothing was written."


def _make(desk: Desk) -> str:
    guess = _there(desk).guess()
    new_from_guess(desk.live.path, guess, today=desk.live.now().date())
    desk.brought.hold(None)
    return f"The line was made: {guess.counted()}. Your spreadsheet stays as it is."


def _make_sample(desk: Desk) -> str:
    new_line(desk.live.path, today=desk.live.now().date())
    return "A small invented line was made, to look around in."


def _there(desk: Desk) -> Arrival:
    if desk.brought.arrival is None:
        raise InputError(NOTHING_CAME)
    return desk.brought.arrival
