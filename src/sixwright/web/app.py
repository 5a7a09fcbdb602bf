"""The pages, served on this machine alone: to be read, and to be worked in."""

from collections.abc import Awaitable, Callable
from getpass import getuser
from pathlib import Path

from fastapi import FastAPI, HTTPException, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, PlainTextResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from starlette.middleware.trustedhost import TrustedHostMiddleware

from sixwright.kernel.protocols import Clock
from sixwright.reports import fonts, manual
from sixwright.reports.html import ASSETS
from sixwright.storage.meshes.left_arrivals import clear_left
from sixwright.web.bring_routes import add_bring_routes
from sixwright.web.guard import Guard, new_token, not_understood
from sixwright.web.open_folder import STATIC_DIR, OpenFolder
from sixwright.web.routes import add_routes
from sixwright.web.sculpt_routes import add_sculpt
from sixwright.web.sculpts_routes import add_sculpts
from sixwright.web.stills_routes import add_stills
from sixwright.web.watched_folder import WatchedFolder

HOSTS = ["127.0.0.1", "localhost"]
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
        "img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'self'; "
        "frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-cache",
}
OURS = (
    "Something went wrong in sixwright itself. If you were changing something, the history at "
    "/history shows whether it was written."
)
NOBODY = "somebody"
OLD_TABLES = "/sheets"  # where the folder's tables were until they moved to /tables
NOWHERE = ""

Next = Callable[[Request], Awaitable[Response]]


def make_app(
    folder_path: Path,
    clock: Clock,
    *,
    now: Clock | None = None,
    who: str = "",
    waits: bool = True,
) -> FastAPI:
    """The server of one folder's pages.

    Parameters
    ----------
    folder_path
        The folder of a line.
    clock
        Tells the day that the line is judged on.
    now
        Tells the moment that an edit is written at, and looked at; `clock` where None.
    who
        The name that the history gives to edits; the name of this machine's account where empty.
    waits
        Whether pages wait for answers that take seconds; else they show the last, and follow.
    """
    app = FastAPI(title="sixwright", docs_url=None, redoc_url=None, openapi_url=None)
    open_folder = OpenFolder(
        WatchedFolder(folder_path, clock, now, waits=waits), who.strip() or _account(), new_token()
    )
    clear_left(open_folder.watched.now())
    app.add_middleware(Guard, token=open_folder.token)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=HOSTS)
    app.middleware("http")(_with_headers)
    app.add_exception_handler(Exception, _at_fault)
    app.add_exception_handler(404, _nowhere(open_folder))
    app.add_exception_handler(RequestValidationError, not_understood)
    app.add_exception_handler(400, not_understood)
    add_routes(app, open_folder)
    add_bring_routes(app, open_folder)
    add_stills(app, open_folder)
    add_sculpts(app, open_folder)
    add_sculpt(app, open_folder)
    app.get("/assets/fonts.css", name="fonts")(_fonts)
    if manual.FOLDER is not None:
        app.mount(manual.FILES, StaticFiles(directory=manual.FOLDER), name="manual")
    app.mount("/assets", StaticFiles(directory=ASSETS), name="assets")
    if STATIC_DIR.is_dir():
        app.mount("/static", StaticFiles(directory=STATIC_DIR), name="static")
    for path in open_folder.paths():
        app.get(path, response_class=HTMLResponse)(_page(open_folder))
    for path in (OLD_TABLES, f"{OLD_TABLES}/{{table}}"):
        app.get(path)(_moved)
    return app


def _moved(request: Request) -> Response:
    """The page of tables from its earlier address, with the table and the rows asked for."""
    asked = f"?{request.url.query}" if request.url.query else ""
    path = request.url.path.removeprefix(OLD_TABLES)
    return RedirectResponse(f"/tables{path}{asked}", 308)


def _page(open_folder: OpenFolder) -> Callable[[Request], Response]:
    """The endpoint of a page."""

    def page(request: Request) -> Response:
        path = request.url.path
        if not open_folder.has(path):
            raise HTTPException(404)
        state = open_folder.watched.look()
        return HTMLResponse(
            open_folder.draw(path, state, query=request.url.query),
            200 if state.review or open_folder.is_without_line() else 503,
        )

    return page


def _nowhere(open_folder: OpenFolder) -> Callable[[Request, Exception], Response]:
    """What answers an address that is none: a page, with the ways on."""

    def nowhere(_request: Request, _error: Exception) -> Response:
        return HTMLResponse(open_folder.draw(NOWHERE, open_folder.watched.look()), 404)

    return nowhere


def _account() -> str:
    try:
        return getuser()
    except (KeyError, OSError, ImportError):  # an account without a name
        return NOBODY


def _fonts() -> Response:
    return Response(fonts.linked("/assets/fonts"), media_type="text/css")


async def _with_headers(request: Request, call_next: Next) -> Response:
    response = await call_next(request)
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    return response


def _at_fault(_request: Request, _error: Exception) -> Response:
    return PlainTextResponse(OURS, status_code=500, headers=HEADERS)
