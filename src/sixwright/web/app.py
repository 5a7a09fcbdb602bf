"""The pages, served on this machine alone, and only to be read."""

from collections.abc import Awaitable, Callable
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse, PlainTextResponse
from fastapi.staticfiles import StaticFiles
from starlette.middleware.trustedhost import TrustedHostMiddleware

from sixwright.kernel.protocols import Clock
from sixwright.reports import fonts
from sixwright.reports.html import ASSETS, environment
from sixwright.reports.pages import PAGES
from sixwright.web.live import Live
from sixwright.web.pages.view import address, link_address, view

HERE = Path(__file__).parent
STATIC_DIR = HERE / "static"
TEMPLATES = HERE / "templates"
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
OURS = "Something went wrong in sixwright itself; nothing was written, and the folder is as it was."

Next = Callable[[Request], Awaitable[Response]]


def make_app(folder_path: Path, clock: Clock) -> FastAPI:
    """The server of one folder's pages.

    Parameters
    ----------
    folder_path
        The folder of a line.
    clock
        Tells the day that quotes are read on.
    """
    app = FastAPI(title="sixwright", docs_url=None, redoc_url=None, openapi_url=None)
    live = Live(folder_path, clock)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=HOSTS)
    app.middleware("http")(_with_headers)
    app.add_exception_handler(Exception, _at_fault)
    for topic in ("home", *PAGES):
        app.get(address(topic), response_class=HTMLResponse, name=topic)(_page(live, topic))
    app.get("/assets/fonts.css", name="fonts")(_fonts)
    app.mount("/assets", StaticFiles(directory=ASSETS), name="assets")
    if STATIC_DIR.is_dir():
        app.mount("/static", StaticFiles(directory=STATIC_DIR), name="static")
    return app


def _page(live: Live, topic: str) -> Callable[[], HTMLResponse]:
    """The endpoint of one topic's page."""

    def page() -> HTMLResponse:
        shown = view(live.look(), topic, folder=live.path.resolve().name)
        made = environment(TEMPLATES, locale=shown.locale, href=link_address)
        has_client = (STATIC_DIR / "client.js").is_file()
        text = made.get_template("page.html.j2").render(shown.context(has_client=has_client))
        return HTMLResponse(text, status_code=200 if shown.spine else 503)

    return page


def _fonts() -> Response:
    return Response(fonts.linked("/assets/fonts"), media_type="text/css")


async def _with_headers(request: Request, call_next: Next) -> Response:
    response = await call_next(request)
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    return response


def _at_fault(_request: Request, _error: Exception) -> Response:
    return PlainTextResponse(OURS, status_code=500, headers=HEADERS)
