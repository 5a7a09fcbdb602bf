"""Asks an application directly, one request at a time; no network."""

import asyncio
import html
import json
import re
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from typing import Any

from httpx import ASGITransport, AsyncClient, Response

HERE = "http://127.0.0.1:8106"


def clock() -> datetime:
    return datetime(2026, 9, 14, 9, tzinfo=UTC)


def asks(page: str, does: str) -> list[dict]:
    """What the buttons and forms of a page would ask of one address."""
    found = re.findall(rf'data-does="{does}" data-asks="([^"]*)"', page)
    return [json.loads(html.unescape(each)) for each in found]


def awaited(coroutine: Coroutine) -> Any:
    """What it gives, run in a thread of its own: browser tests may hold this one's event loop."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, coroutine).result()


class Client:
    def __init__(self, app) -> None:
        self.app = app
        self._token = ""

    def ask(self, method: str, path: str, *, body=None, **headers: str) -> Response:
        async def once() -> Response:
            transport = ASGITransport(self.app, raise_app_exceptions=False)
            async with AsyncClient(transport=transport, base_url=HERE) as client:
                return await client.request(method, path, headers=headers, json=body)

        return awaited(once())

    def raw(self, method: str, path: str, content: bytes, **headers: str) -> Response:
        """A request whose body is exactly these bytes."""

        async def once() -> Response:
            transport = ASGITransport(self.app, raise_app_exceptions=False)
            async with AsyncClient(transport=transport, base_url=HERE) as client:
                return await client.request(method, path, headers=headers, content=content)

        return awaited(once())

    def get(self, path: str, **headers: str) -> Response:
        return self.ask("GET", path, **headers)

    def token(self) -> str:
        """The token that the application's pages carry; asked once, as it stays."""
        if not self._token:
            page = self.get("/report").text
            self._token = re.search(r'name="sixwright-token" content="([^"]+)"', page)[1]
        return self._token

    def post(self, path: str, *, page: str = "/", window: str = "one", **body) -> Response:
        """A write as a page sends it, with the token."""
        whole = {"page": page, "window": window, **body}
        return self.ask("POST", path, body=whole, **{"x-sixwright-token": self.token()})

    def edit(self, table: str, id_: str, column: str, was: str, value: str, **kept) -> Response:
        cell = {"table": table, "id": id_, "column": column, "was": was, "value": value}
        return self.post("/edit", **cell, **kept)
