"""Twenty windows and an editor on the demo at once, against a served copy of its folder.

    python benchmarks/load.py [SECONDS]

Each window asks for page after page without a pause, and every tenth time edits a price of its
own; the editor changes one price as fast as it is answered, and moves a sighting each second, so
that heads are solved all the while. Afterwards the folder's history is held against every answer:
an edit that was answered as written stands in it once, any other does not. Limits: no answer of
500 or more, nothing lost, 95 of 100 answers within 5 s, and memory (Linux) that does not grow by
a tenth after the first ten seconds.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import cycle, islice
from pathlib import Path
from typing import IO

ROOT = Path(__file__).resolve().parent.parent
LINE = ROOT / "examples/sluice-keeper"
CLIENTS = 20
SECONDS = 120.0
WARM_S = 10.0
LIMIT_S = 5.0
GROWTH = 1.1
PAGES = ("/", "/money", "/lineup", "/tables/prices", "/tables/parts", "/history", "/likeness",
         "/since")  # fmt: skip
Answer = tuple[str, int, float]


@dataclass
class Seen:
    """What came of it.

    Attributes
    ----------
    answers
        Kind of request, status and seconds of each.
    written, refused
        Values that an edit was answered as written, or otherwise.
    memory
        Seconds and resident bytes of the server.
    """

    answers: list[Answer] = field(default_factory=list)
    written: list[tuple[str, str]] = field(default_factory=list)
    refused: list[tuple[str, str]] = field(default_factory=list)
    memory: list[tuple[float, int]] = field(default_factory=list)

    def slowest(self, share: float) -> float:
        """The seconds within which this share of the answers came."""
        taken = sorted(seconds for _, _, seconds in self.answers)
        return taken[min(int(share * len(taken)), len(taken) - 1)]

    def failures(self) -> Counter[int]:
        """Statuses of 500 and more, by how often."""
        return Counter(status for _, status, _ in self.answers if status >= 500)

    def growth(self) -> float:
        """Mean memory of the last fifth over that of the first fifth, after the warm-up."""
        kept = [bytes_ for at, bytes_ in self.memory if at > WARM_S]
        fifth = max(len(kept) // 5, 1)
        if not kept:
            return 1.0
        return (sum(kept[-fifth:]) / fifth) / (sum(kept[:fifth]) / fifth)


class Window:
    """A browser window, as far as the server sees one."""

    def __init__(self, address: str, seen: Seen, name: str, until: float) -> None:
        import httpx

        self.client = httpx.Client(base_url=address, timeout=120)
        self.seen, self.name, self.until = seen, name, until
        page = self.client.get("/").text
        self.token = _meta(page, "token")
        self.version = _meta(page, "version")

    def look(self, page: str) -> None:
        """Ask for a page, or whether anything changed."""
        url = page if page != "/since" else f"/since?version={self.version}&window={self.name}"
        begun = time.perf_counter()
        status = self.client.get(url).status_code
        self.seen.answers.append((page, status, time.perf_counter() - begun))

    def edit(self, table: str, row: str, column: str, was: str, value: str) -> bool:
        """Change a cell; whether it was answered as written."""
        asked = {"page": "/money", "table": table, "id": row, "column": column,
                 "window": self.name, "was": was, "value": value}  # fmt: skip
        begun = time.perf_counter()
        answer = self.client.post("/edit", json=asked, headers={"x-sixwright-token": self.token})
        self.seen.answers.append(("/edit", answer.status_code, time.perf_counter() - begun))
        done = answer.status_code == 200
        (self.seen.written if done else self.seen.refused).append((f"{row}/{column}", value))
        return done

    def browse(self, number: int, cell: tuple[str, str, str, str]) -> None:
        """Page after page; every tenth time an edit of this window's own cell."""
        table, row, column, was = cell
        value = was
        for step, page in enumerate(islice(cycle(PAGES), number, None)):
            if time.monotonic() > self.until:
                return
            if step % 10 == 9:
                wanted = f"{float(was) + step / 100:.2f}"
                value = wanted if self.edit(table, row, column, value, wanted) else value
            else:
                self.look(page)

    def write(self, cells: dict[str, tuple[str, str, str, str]]) -> None:
        """A price as fast as it is answered; a sighting each second."""
        price, x_px = cells["price"][3], cells["sighting"][3]
        moved = time.monotonic()
        for step in range(10**9):
            if time.monotonic() > self.until:
                return
            wanted = f"{300 + step % 200}.{step // 200:02} USD"
            price = wanted if self.edit(*cells["price"][:3], price, wanted) else price
            if time.monotonic() - moved > 1:
                moved, place = time.monotonic(), f"{float(cells['sighting'][3]) + step / 64:.3f}"
                x_px = place if self.edit(*cells["sighting"][:3], x_px, place) else x_px


def _meta(page: str, name: str) -> str:
    found = re.search(rf'name="sixwright-{name}" content="([^"]+)"', page)
    if found is None:
        raise SystemExit(f"The page names no {name}.")
    return found[1]


def cells_of(folder: Path) -> tuple[list[tuple[str, str, str, str]], dict]:
    """A price of its own for each window; the editor's price and sighting."""
    from sixwright.storage.folder import read

    rows = read(folder).records
    prices = [("prices", id_, "unit_price", row.cells["unit_price"])
              for id_, row in rows["prices"].items()
              if re.fullmatch(r"[0-9.]+", row.cells["unit_price"])]  # fmt: skip
    sighting, row = next(iter(rows["sightings"].items()))
    price = rows["editions"]["muster-watch"].cells["price"]
    return prices[:CLIENTS], {
        "price": ("editions", "muster-watch", "price", price),
        "sighting": ("sightings", sighting, "x_px", row.cells["x_px"]),
    }


def server(folder: Path) -> tuple[subprocess.Popen, str]:
    """The served folder and its address."""
    command = [sys.executable, "-m", "sixwright", "serve", str(folder), "--port", "0"]
    process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    line = process.stderr.readline()
    threading.Thread(target=_drained, args=(process.stderr,), daemon=True).start()
    return process, re.search(r"http://\S+?(?=/ )", line)[0]


def _drained(stream: IO[str]) -> None:
    """Read to the end, and close."""
    with stream:
        stream.read()


def under_load(folder: Path, seconds: float) -> Seen:
    """Twenty windows and an editor for some seconds."""
    seen = Seen()
    process, address = server(folder)
    windows: list[Window] = []
    try:
        own, editors = cells_of(folder)
        until = time.monotonic() + seconds
        windows += [Window(address, seen, f"w{number}", until) for number in range(CLIENTS + 1)]
        work = [
            threading.Thread(target=window.browse, args=(number, cell))
            for number, (window, cell) in enumerate(zip(windows[1:], own, strict=True))
        ]
        work.append(threading.Thread(target=windows[0].write, args=(editors,)))
        begun = time.monotonic()
        for each in work:
            each.start()
        while any(each.is_alive() for each in work):
            seen.memory.extend((time.monotonic() - begun, size) for size in _resident(process.pid))
            time.sleep(0.5)
    finally:
        for window in windows:
            window.client.close()
        process.terminate()
        process.wait(30)
    return seen


def _resident(process: int) -> Iterator[int]:
    """Bytes of memory, where the system tells (Linux)."""
    status = Path(f"/proc/{process}/statm")
    if status.exists():
        yield int(status.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")


def lost(folder: Path, seen: Seen) -> list[str]:
    """Where the history and the answers differ; read from the files by their own words."""
    told = Counter()
    for file in sorted((folder / "history").glob("*.jsonl")):
        for line in file.read_text(encoding="utf-8").splitlines():
            change = json.loads(line)
            told[f"{change['id']}/{change['column']}", change["after"]] += 1
    answered = Counter(seen.written)
    return [f"{key}: answered {answered[key]}, in the history {told[key]}"
            for key in answered.keys() | told.keys() if answered[key] != told[key]]  # fmt: skip


def main() -> int:
    """Print what came of it; 1 where a limit is missed."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["SIXWRIGHT_CACHE"] = str(Path(scratch) / "cache")
        folder = Path(shutil.copytree(LINE, Path(scratch) / "sluice-keeper"))
        shutil.rmtree(folder / "history", ignore_errors=True)
        seen = under_load(folder, seconds)
        missing = lost(folder, seen)
    print("| what | count | half within, s | 95 of 100 within, s | slowest, s |")
    print("|---|---|---|---|---|")
    for kind in ("/edit", *PAGES):
        part = Seen([answer for answer in seen.answers if answer[0] == kind])
        if part.answers:
            print(f"| {kind} | {len(part.answers)} | {part.slowest(0.5):.2f} | "
                  f"{part.slowest(0.95):.2f} | {part.slowest(1):.2f} |")  # fmt: skip
    print(f"\n{len(seen.answers)} answers, 95 of 100 within {seen.slowest(0.95):.2f} s; "
          f"{len(seen.written)} edits written, {len(seen.refused)} refused; "
          f"failures {dict(seen.failures())}; lost or doubled {len(missing)}; "
          f"memory {max((b for _, b in seen.memory), default=0) / 1e6:.0f} MB at most, "
          f"grew by a factor of {seen.growth():.2f}.")  # fmt: skip
    print("\n".join(missing[:10]))
    bad = missing or seen.failures() or seen.slowest(0.95) > LIMIT_S or seen.growth() > GROWTH
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
