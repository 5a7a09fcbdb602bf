"""What every request must be: from a page of this server, with its token, and not too long."""

from hmac import compare_digest
from secrets import token_urlsafe
from urllib.parse import urlsplit

from fastapi.responses import JSONResponse
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

READING = frozenset({"GET", "HEAD", "OPTIONS"})
TOKEN = "x-sixwright-token"  # noqa: S105 - the name of a header
MOST_BYTES = 65_536
SPREADSHEET = "/spreadsheet"  # the one address that takes a file, and writes nothing
MOST_SHEET_BYTES = 50_000_000
JSON, BYTES = "application/json", "application/octet-stream"
FROM_HERE = frozenset({"same-origin", "none"})
ELSEWHERE = "This page is not one of sixwright’s; nothing was written."
EARLIER = "This page is of an earlier run; nothing was written."
NOT_JSON = "A write must be JSON; nothing was written."
NO_FILE = "A spreadsheet must come as a file; nothing was written."
TOO_LARGE = "A spreadsheet may have at most 50 MB; nothing was read."
TOO_LONG = "That is more than one edit can hold; nothing was written."


class Guard:
    """Refuses a write that does not come from a page of this server with the token it was given.

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
        refused = self._refusal(str(scope["method"]), str(scope["path"]), headers)
        if refused is not None:
            await refused(scope, receive, send)
            return
        await self._app(scope, receive, send)

    def _refusal(self, method: str, path: str, headers: Headers) -> JSONResponse | None:
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc != headers.get("host"):
            return _refuse(403, ELSEWHERE)
        return None if method in READING else self._refusal_to_write(path, headers)

    def _refusal_to_write(self, path: str, headers: Headers) -> JSONResponse | None:
        length = headers.get("content-length", "")
        said = headers.get(TOKEN, "").encode()
        is_file = path == SPREADSHEET
        kind, otherwise = (BYTES, NO_FILE) if is_file else (JSON, NOT_JSON)
        most, too_long = (MOST_SHEET_BYTES, TOO_LARGE) if is_file else (MOST_BYTES, TOO_LONG)
        checks = (
            (headers.get("sec-fetch-site", "none") in FROM_HERE, 403, ELSEWHERE),
            (compare_digest(said, self._token.encode()), 403, EARLIER),
            (headers.get("content-type", "").startswith(kind), 415, otherwise),
            (length.isdecimal() and int(length) <= most, 413, too_long),
        )
        return next((_refuse(status, why) for good, status, why in checks if not good), None)


def new_token() -> str:
    """A secret that nobody can guess."""
    return token_urlsafe(32)


def _refuse(status: int, words: str) -> JSONResponse:
    return JSONResponse({"kind": "token" if status == 403 else "refused", "said": words}, status)
