"""Take the README's pictures of the demo's pages: docs/pictures/*.png.

    python tools/pictures.py

A copy of the demo line is served on the day of the demo; a browser opens its pages at 1280 px,
does what each picture shows, and the window is saved with 256 colours.
"""

import io
import os
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from demo_heads import lay

ROOT = Path(__file__).resolve().parent.parent
LINE = ROOT / "examples/sluice-keeper"
OUT = ROOT / "docs/pictures"
BROWSERS = ("chromium", "chromium-browser")
WINDOW = {"width": 1280, "height": 860}


def refused(page: Any) -> None:
    """A number that cannot be, with its reason beneath it."""
    page.locator("button.edit[data-table='orders']").first.click()
    page.locator(".field input").fill("a dozen")
    page.keyboard.press("Enter")
    page.locator(".beneath [role=alert]").wait_for()


def tried(page: Any) -> None:
    """A dearer box, worked out and not written."""
    page.locator("[data-try='start']").click()
    page.locator(".trying").wait_for()
    page.locator("button.edit[data-column='price']").first.click()
    page.locator(".field input").fill("299 USD")
    page.keyboard.press("Enter")
    page.locator(".trying form").wait_for()
    page.evaluate("scrollTo(0, 0)")


PICTURES: tuple[tuple[str, str, Callable[[Any], None] | None], ...] = (
    ("home", "/", None),
    ("editing", "/lineup", refused),
    ("trying", "/money", tried),
    ("choices", "/choices", None),
)


def serve(folder: Path) -> tuple[Any, str]:
    """A server of the folder, and its address."""
    import uvicorn

    from sixwright.web.app import make_app

    app = make_app(folder, lambda: datetime(2026, 9, 14, 9, tzinfo=UTC), who="Ines")
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
    threading.Thread(target=server.run, daemon=True).start()
    while not server.started:
        time.sleep(0.02)
    return server, f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"


def save(png: bytes, name: str) -> None:
    """The window, with as many colours as a page needs."""
    from PIL import Image

    OUT.mkdir(exist_ok=True)
    Image.open(io.BytesIO(png)).convert("RGB").quantize(256).save(
        OUT / f"{name}.png", optimize=True
    )


def main() -> None:
    """Take every picture."""
    from playwright.sync_api import sync_playwright

    path = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if path is None:
        raise SystemExit("The pictures need chromium; it was not found.")
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as play:
        os.environ.setdefault("SIXWRIGHT_CACHE", str(Path(scratch) / "cache"))
        line = Path(shutil.copytree(LINE, Path(scratch) / "sluice-keeper"))
        lay(line)
        server, address = serve(line)
        as_root = getattr(os, "geteuid", lambda: 1)() == 0
        args = ["--no-sandbox"] if as_root else []
        browser = play.chromium.launch(executable_path=path, args=args)
        for name, at, do in PICTURES:
            page = browser.new_page(viewport=WINDOW, reduced_motion="reduce")
            page.goto(address + at, timeout=180_000)
            page.wait_for_selector("html[data-client]")
            if do is not None:
                do(page)
            save(page.screenshot(), name)
            page.close()
        browser.close()
        server.should_exit = True
        time.sleep(0.5)


if __name__ == "__main__":
    sys.exit(main())
