"""How long one edit of the demo takes, from the request to the page as it then is.

    python benchmarks/edit.py

A server of the demo's copy is asked over the network of this machine, as a browser asks: a price
and a number of orders, on the page that shows them, RUNS times each after a warm-up. The parts
(writing, judging, drawing) are timed apart in this process, and beside them what a general-purpose
library needs to read and write the same table: pandas reads parts.csv, changes a cell, and writes
it back, with no check, no history and no flush. 200 ms is the limit for an edit, 300 for a price
right after a moved sighting.
"""

import importlib.util
import os
import re
import shutil
import statistics
import tempfile
import threading
import time
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import httpx

ROOT = Path(__file__).resolve().parent.parent
LINE = ROOT / "examples/sluice-keeper"
RUNS = 15
LIMIT_MS = 200
BESIDE_MS = 300
EDITS = (
    (
        "a price, on the money page",
        {"page": "/money", "table": "editions", "id": "muster-watch", "column": "price"},
        "{} USD",
        290,
    ),
    (
        "a count, on the line-up page",
        {"page": "/lineup", "table": "orders", "id": "muster-watch", "column": "quantity"},
        "{}",
        181,
    ),
    (
        "a price break, on its table",
        {"page": "/tables/prices", "table": "prices", "id": "body-silicone/500",
         "column": "unit_price"},
        "{}",
        230,
    ),
)  # fmt: skip


def clock() -> datetime:
    """The day of the demo."""
    return datetime(2026, 9, 14, 9, tzinfo=UTC)


def milliseconds(work: Callable[[int], object]) -> list[float]:
    """Wall time of each run, after one that is not counted."""
    work(0)
    taken = []
    for run in range(1, RUNS + 1):
        begun = time.perf_counter()
        work(run)
        taken.append((time.perf_counter() - begun) * 1000)
    return taken


def row(name: str, taken: list[float], limit: str = "") -> None:
    """One line of the table."""
    median, fastest = statistics.median(taken), min(taken)
    print(f"| {name} | {median:.0f} | {fastest:.0f} | {max(taken):.0f} | {limit} |")


def over_the_network(folder: Path) -> None:
    """Edits asked of a server, as a browser asks them."""
    import httpx
    import uvicorn

    from sixwright.storage.folder import read
    from sixwright.web.app import make_app

    server = uvicorn.Server(
        uvicorn.Config(make_app(folder, clock, who="Ines", waits=False), port=0, log_level="error")
    )
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    with httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=120) as client:
        page = client.get("/").text
        token = re.search(r'name="sixwright-token" content="([^"]+)"', page)[1]
        version = re.search(r'name="sixwright-version" content="([^"]+)"', page)[1]
        for name, cell, form, first in EDITS:
            was = read(folder).records[cell["table"]][cell["id"]].cells[cell["column"]]
            texts = [was, *(form.format(first + run) for run in range(RUNS + 1))]

            def edit(run: int, cell: Mapping[str, str] = cell, texts: list[str] = texts) -> None:
                asked = {**cell, "window": "one", "was": texts[run], "value": texts[run + 1]}
                answer = client.post("/edit", json=asked, headers={"x-sixwright-token": token})
                if answer.status_code != 200:
                    raise SystemExit(answer.text)

            row(f"{name}: request to page", milliseconds(edit), str(LIMIT_MS))
        beside_a_solve(client, token, folder)
        asked = f"/since?version={version}&window=two"
        row("asking whether the folder moved", milliseconds(lambda _: client.get(asked)))
    server.should_exit = True
    thread.join(20)


def beside_a_solve(client: "httpx.Client", token: str, folder: Path) -> None:
    """A price edited right after a sighting was moved, while its head is solved anew."""
    from sixwright.storage.folder import read

    cells = read(folder).records
    sighting = next(iter(cells["sightings"]))
    x_px, price = (
        cells["sightings"][sighting].cells["x_px"],
        cells["editions"]["muster-watch"].cells["price"],
    )
    moved = [x_px, *(f"{float(x_px) + run / 8 + 0.125}" for run in range(RUNS + 1))]
    prices = [price, *(f"{300 + run} USD" for run in range(RUNS + 1))]
    taken = {"sighting": [], "price": []}
    for run in range(RUNS + 1):
        for kind, page, table, id_, column, texts in (
            ("sighting", "/tables/sightings", "sightings", sighting, "x_px", moved),
            ("price", "/money", "editions", "muster-watch", "price", prices),
        ):
            asked = {"page": page, "table": table, "id": id_, "column": column,
                     "window": "one", "was": texts[run], "value": texts[run + 1]}  # fmt: skip
            begun = time.perf_counter()
            answer = client.post("/edit", json=asked, headers={"x-sixwright-token": token})
            taken[kind].append((time.perf_counter() - begun) * 1000)
            if answer.status_code != 200:
                raise SystemExit(answer.text)
    row("a sighting, on its table", taken["sighting"][1:], str(BESIDE_MS))
    row("a price, while the head is solved", taken["price"][1:], str(BESIDE_MS))


def in_this_process(folder: Path) -> None:
    """The parts of an edit, each alone."""
    from sixwright.project.records import Change
    from sixwright.storage.cache import TOOLS
    from sixwright.storage.edits.write import write
    from sixwright.storage.folder import read
    from sixwright.web.open_folder import OpenFolder
    from sixwright.web.watched_folder import WatchedFolder
    from sixwright.workflows.review import review

    held = [read(folder)]

    def writing(run: int) -> None:
        change = Change("editions", "muster-watch", "price", None, f"{400 + run} USD")
        held[0] = write(held[0], [change], who="Ines", clock=clock)

    row("of it: writing", milliseconds(writing))
    judge = lambda _: review(held[0].project, today=clock().date(), tools=TOOLS)  # noqa: E731
    row("of it: judging", milliseconds(judge))
    open_folder = OpenFolder(WatchedFolder(folder, clock), "Ines", "token")
    state = open_folder.watched.look()
    row("of it: drawing the money page", milliseconds(lambda _: open_folder.draw("/money", state)))


def with_pandas(folder: Path) -> None:
    """The same table read, changed and written by a general-purpose library."""
    if importlib.util.find_spec("pandas") is None:
        print("| pandas is not installed (make bench) | | | | |")
        return
    import pandas as pd

    def edit(run: int) -> None:
        table = pd.read_csv(folder / "parts.csv", dtype=str, keep_default_na=False)
        table.loc[0, "mass_g"] = str(392 + run)
        table.to_csv(folder / "parts-of-pandas.csv", index=False)

    row("pandas reads, changes and writes parts.csv", milliseconds(edit))
    (folder / "parts-of-pandas.csv").unlink()


def main() -> None:
    """Print the table."""
    print("| what | median, ms | fastest | slowest | limit |")
    print("|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as scratch:
        os.environ.setdefault("SIXWRIGHT_CACHE", str(Path(scratch) / "cache"))
        folder = Path(shutil.copytree(LINE, Path(scratch) / "sluice-keeper"))
        over_the_network(folder)
        in_this_process(folder)
        with_pandas(folder)


if __name__ == "__main__":
    main()
