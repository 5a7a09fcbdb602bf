"""A browser and a served folder for the page tests."""

import os
import shutil
import socket
import threading
import time
from datetime import UTC, datetime

import pytest

NAMES = ("chromium", "chromium-browser")
# How long a browser or a server may take on a slow or busy machine; none of it is what is tested.
MOST_S = 120


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
            executable_path=path,
            args=["--no-sandbox"] if as_root else [],
            timeout=MOST_S * 1000,
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
        listening = socket.create_server(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(app, log_level="error"))
        thread = threading.Thread(target=server.run, args=([listening],), daemon=True)
        thread.start()
        stops.append((server, thread))
        end = time.monotonic() + MOST_S
        while not server.started:
            assert thread.is_alive(), f"{folder} is not served"
            assert time.monotonic() < end, f"{folder} is not served yet"
            thread.join(0.02)
        return f"http://127.0.0.1:{listening.getsockname()[1]}"

    yield serve
    for server, _ in stops:
        server.should_exit = True
    for _, thread in stops:
        thread.join(10)


@pytest.fixture
def new_page(browser):
    """Opens an empty page, which is closed at the end of the test, however that ends."""
    pages = []

    def open_(**options):
        page = browser.new_page(**options)
        pages.append(page)
        page.set_default_timeout(MOST_S * 1000)
        return page

    yield open_
    for page in pages:
        page.close()


@pytest.fixture
def page_of(new_page):
    """Opens a page at a width; any console error or failed request fails the test.

    A test that provokes a refusal names its status in `page.foreseen`.
    """
    pages = []

    def open_(address: str, *, width: int, **options):
        options = {"reduced_motion": "reduce", **options}
        page = new_page(viewport={"width": width, "height": 860}, **options)
        page.complaints = []
        page.foreseen = ()
        pages.append(page)
        page.on("console", lambda m: page.complaints.append(m.text) if m.type != "log" else None)
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        answer = page.goto(address)
        assert answer.ok, address
        return page

    yield open_
    for page in pages:
        page.close()
    for page in pages:
        assert [said for said in page.complaints if not said.endswith(page.foreseen)] == []
