"""What every request must be: asked by a page of this server, and no longer than it need be."""

import asyncio
from dataclasses import dataclass
from hmac import compare_digest
from secrets import token_urlsafe
from urllib.parse import urlsplit

from fastapi.responses import JSONResponse, PlainTextResponse, Response
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sixwright.storage.meshes.raw import MOST_BYTES as MOST_MESH_BYTES
from sixwright.storage.meshes.raw import MOST_SIZE
from sixwright.storage.pictures import MOST_FILE, MOST_FILE_MB

READING = frozenset({"GET", "HEAD", "OPTIONS"})
TOKEN = "x-sixwright-token"  # noqa: S105 - the name of a header
MOST_BYTES = 65_536
# What is tried may be many changes: so much is taken where all of them are sent.
MOST_TRIED_BYTES = 524_288
TRIED = frozenset({"/try", "/write-tried", "/keep"})
SPREADSHEET = "/spreadsheet"  # takes a file, and writes nothing
MOST_SHEET_BYTES = 50_000_000
STILL = "/still"  # takes a picture file, as the spreadsheet is taken
MESH = "/mesh"  # takes a mesh file: on to the disk as it arrives, never into memory
JSON, BYTES = "application/json", "application/octet-stream"
# So long may a body take to arrive, in seconds; and a file. docs/threats.md states them.
BODY_S, FILE_S, MESH_S = 10.0, 60.0, 300.0
FROM_HERE = frozenset({"same-origin", "none"})
ELSEWHERE = "This page is not one of sixwright’s; nothing was written."
ASKED_ELSEWHERE = (
    "Another site asked for this, so it is not shown. Type the address, or open your bookmark."
)
EARLIER = "This page is of an earlier run; nothing was written."
NOT_JSON = "A write must be JSON; nothing was written."
NO_FILE = "A spreadsheet must come as a file; nothing was written."
TOO_LARGE = "A spreadsheet may have at most 50 MB; nothing was read."
NO_PICTURE = "A still must come as a file; nothing was written."
PICTURE_TOO_LARGE = f"A still may have at most {MOST_FILE_MB} MB; nothing was written."
NO_MESH = "A mesh must come as a file; nothing was written."
MESH_TOO_LARGE = f"A mesh may have at most {MOST_SIZE}; nothing was kept."
TOO_LONG = "That is more than one edit can hold; nothing was written."
TOO_SLOW = "That took too long to arrive; nothing was written."
NOT_UNDERSTOOD = "sixwright did not take that; nothing was written."
CLOSE = {"Connection": "close"}  # what is still under way is then not taken in


@dataclass(frozen=True, slots=True)
class Body:
    """What an address takes: of which kind, of how many bytes, within which time.

    `streamed` is taken piece by piece by the address itself, which counts it.
    """

    kind: str
    otherwise: str
    most: int
    too_long: str
    seconds: float
    streamed: bool = False


class Guard:
    """Refuses what another site asks, writes without this run's token, and bodies without end.

    Parameters
    ----------
    app
        What is guarded.
    token
        A secret of this server's run; pages carry it, and no other site can read them.
    """

    def __init__(self, app: ASGIApp, token: str) -> None:
        self._app = app
        self._token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or pass on."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        if scope["method"] in READING:
            refused = _refusal_to_read(headers)
        else:
            body = _body(str(scope["path"]))
            refused = self._refusal_to_write(headers, body)
            if refused is None and not body.streamed:
                refused, receive = await _whole(receive, body)
        await (refused or self._app)(scope, receive, send)

    def _refusal_to_write(self, headers: Headers, body: Body) -> Response | None:
        length = headers.get("content-length", "")
        said = headers.get(TOKEN, "").encode()
        checks = (
            (_is_from_here(headers), 403, ELSEWHERE),
            (compare_digest(said, self._token.encode()), 403, EARLIER),
            (headers.get("content-type", "").startswith(body.kind), 415, body.otherwise),
            (_is_short(length, body.most), 413, body.too_long),
        )
        return next((_refuse(status, why, CLOSE) for good, status, why in checks if not good), None)


def new_token() -> str:
    """A secret that nobody can guess."""
    return token_urlsafe(32)


def not_understood(*_: object) -> JSONResponse:
    """What answers a request whose values are none that are taken; they are not told back."""
    return _refuse(422, NOT_UNDERSTOOD)


def _body(path: str) -> Body:
    if path == SPREADSHEET:
        return Body(BYTES, NO_FILE, MOST_SHEET_BYTES, TOO_LARGE, FILE_S)
    if path == STILL:
        return Body(BYTES, NO_PICTURE, MOST_FILE, PICTURE_TOO_LARGE, FILE_S)
    if path == MESH:
        return Body(BYTES, NO_MESH, MOST_MESH_BYTES, MESH_TOO_LARGE, MESH_S, streamed=True)
    most = MOST_TRIED_BYTES if path in TRIED else MOST_BYTES
    return Body(JSON, NOT_JSON, most, TOO_LONG, BODY_S)


def _refusal_to_read(headers: Headers) -> Response | None:
    """A page is costly to make and home keeps the last look: no other site may have it asked."""
    if not _is_from_here(headers):
        return PlainTextResponse(ASKED_ELSEWHERE, 403, CLOSE)
    if headers.get("content-length", "0") != "0" or "transfer-encoding" in headers:
        return PlainTextResponse(TOO_LONG, 413, CLOSE)
    return None


def _is_from_here(headers: Headers) -> bool:
    host = headers.get("host")
    same = all(_netloc(origin) == host for origin in headers.getlist("origin"))
    return same and FROM_HERE.issuperset(headers.getlist("sec-fetch-site"))


def _netloc(origin: str) -> str | None:
    try:
        return urlsplit(origin).netloc
    except ValueError:  # as of http://[
        return None


def _is_short(length: str, most: int) -> bool:
    return length.isascii() and length.isdecimal() and len(length) <= 10 and int(length) <= most


async def _whole(receive: Receive, expected: Body) -> tuple[Response | None, Receive]:
    """The body, counted as it arrives, whatever its length was said to be; or why it is refused."""
    body = bytearray()
    try:
        async with asyncio.timeout(expected.seconds):
            while True:
                message = await receive()
                body.extend(message.get("body", b""))
                if len(body) > expected.most:
                    return _refuse(413, expected.too_long, CLOSE), receive
                if not message.get("more_body", False):  # it is whole, or who asked is gone
                    break
    except TimeoutError:
        return _refuse(408, TOO_SLOW, CLOSE), receive
    whole = iter([{**message, "body": bytes(body)}])

    async def again() -> Message:
        for each in whole:
            return each
        return await receive()

    return None, again


def _refuse(status: int, words: str, headers: dict[str, str] | None = None) -> JSONResponse:
    kind = "token" if status == 403 else "refused"
    return JSONResponse({"kind": kind, "said": words}, status, headers)
