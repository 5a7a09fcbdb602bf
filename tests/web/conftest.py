"""A browser and a served folder for the page tests."""

import os
import shutil
import threading
import time
from datetime import UTC, datetime

import pytest

NAMES = ("chromium", "chromium-browser")


@pytest.fixture(scope="session")
def browser():
    """Debian's chromium; the tests are skipped with one clear line where there is none."""
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        pytest.skip("the browser tests are skipped: no chromium was found")
    from playwright.sync_api import sync_playwright

    as_root = getattr(os, "geteuid", lambda: 1)() == 0
    with sync_playwright() as play:
        running = play.chromium.launch(
            executable_path=path, args=["--no-sandbox"] if as_root else []
        )
        yield running
        running.close()


@pytest.fixture(scope="session")
def served():
    """Serves a folder's pages; gives the address. Stopped at the end of the session."""
    import uvicorn

    from sixwright.web.app import make_app

    stops = []

    def serve(folder) -> str:
        app = make_app(folder, lambda: datetime(2026, 9, 14, 9, tzinfo=UTC))
        server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        deadline = time.monotonic() + 20
        while not server.started and time.monotonic() < deadline:
            time.sleep(0.02)
        stops.append((server, thread))
        port = server.servers[0].sockets[0].getsockname()[1]
        return f"http://127.0.0.1:{port}"

    yield serve
    for server, _ in stops:
        server.should_exit = True
    for _, thread in stops:
        thread.join(10)


@pytest.fixture
def page_of(browser):
    """Opens a page at a width; any console error or failed request fails the test.

    A test that provokes a refusal names its status in `page.foreseen`.
    """
    pages = []

    def open_(address: str, *, width: int, **options):
        options = {"reduced_motion": "reduce", **options}
        page = browser.new_page(viewport={"width": width, "height": 860}, **options)
        page.complaints = []
        page.foreseen = ()
        page.on("console", lambda m: page.complaints.append(m.text) if m.type != "log" else None)
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        answer = page.goto(address)
        pages.append(page)
        assert answer.ok, address
        return page

    yield open_
    for page in pages:
        page.close()
        assert [said for said in page.complaints if not said.endswith(page.foreseen)] == []
