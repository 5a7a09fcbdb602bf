"""The server killed in the middle of edits and started again; ten windows editing at once."""

import random
import re
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.storage.folder import read
from sixwright.storage.history.log import history

SERVER = Path(__file__).with_name("dying_server.py")
# More steps of the disk than three edits take: the test finds how many they are.
MOST_STEPS = 60
# A port that was given up may be somebody else's for a moment.
MOST_TRIES = 20
# How long a process or a thread may take on a slow or busy machine; none of it is what is tested.
MOST_S = 120


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


class Serving:
    """A server in a process of its own, which dies at a step of a write; 0: not at all."""

    def __init__(self, folder: Path, step: int, port: int = 0) -> None:
        command = [sys.executable, str(SERVER), str(folder), str(step), str(port)]
        said = ""
        for _ in range(MOST_TRIES if port else 1):
            self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
            said = self.process.stdout.readline()
            if said:
                break
            self.__exit__()
            time.sleep(1)
        self.address = f"http://127.0.0.1:{int(said)}"

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()


class Window:
    """One browser window: it has a token, and sees what it last read or was told."""

    def __init__(self, address: str, name: str) -> None:
        self.http = httpx.Client(base_url=address, timeout=MOST_S)
        self.name = name
        page = self.http.get("/").text
        self.token = re.search(r'name="sixwright-token" content="([^"]+)"', page)[1]
        self.seen: dict[str, str] = {}
        self.accepted: list[tuple[str, str, str]] = []

    def edit(self, box: str, value: str, was: str) -> httpx.Response:
        asked = {"page": "/tables/orders", "window": self.name, "table": "orders", "id": box,
                 "column": "quantity", "was": was, "value": value}  # fmt: skip
        return self.http.post("/edit", json=asked, headers={"x-sixwright-token": self.token})

    def close(self) -> None:
        self.http.close()


def quantities(folder: Path) -> dict[str, str]:
    rows = read(folder).records["orders"].items()
    return {box: row.cells["quantity"] for box, row in rows}


def killed_at(folder: Path, step: int) -> bool:
    """Edit until the server dies at a step, three windows at once; then hold the folder to it.

    True where the server died, so that the step is one that a write has.
    """
    begun = quantities(folder)
    recorded = len(history(folder))
    accepted: list[tuple[str, str]] = []
    failed: list[str] = []
    with Serving(folder, step) as serving:
        windows = [Window(serving.address, str(number)) for number in range(3)]

        def one(window: Window, box: str) -> None:
            was = begun[box]
            try:
                answer = window.edit(box, str(int(was) + 1), was)
            except httpx.HTTPError:
                failed.append(box)
                return
            if answer.status_code == 200:
                accepted.append((box, str(int(was) + 1)))

        threads = [
            threading.Thread(target=one, args=(window, box))
            for window, box in zip(windows, begun, strict=True)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(MOST_S)
        died = bool(failed) and serving.process.wait(MOST_S) == 9
        for window in windows:
            window.close()
    with Serving(folder, 0) as again:  # started anew: it reads, and it writes
        now = quantities(folder)
        for box, value in accepted:
            assert now[box] == value, "an edit that was answered is lost"
        for box, value in now.items():
            assert int(value) - int(begun[box]) in {0, 1}, "half of an edit stands"
        moved = sum(now[box] != begun[box] for box in begun)
        assert len(history(folder)) - recorded == moved, "the history tells something else"
        window = Window(again.address, "after")
        answer = window.edit("box-0", "777", now["box-0"])
        window.close()
        assert answer.status_code == 200
        assert quantities(folder)["box-0"] == "777"
    left = [path.name for path in folder.iterdir() if path.is_file()]
    assert sorted(left) == sorted(
        "line.toml parts.csv contents.csv orders.csv ways.csv prices.csv".split()
    ), "something is left lying about"
    return died


@pytest.mark.parametrize("step", [4, 11])
def test_a_server_that_dies_in_mid_edit_loses_nothing_and_leaves_nothing_half(folder, step):
    assert killed_at(folder, step)


@pytest.mark.browser
def test_what_was_typed_survives_a_server_that_dies_and_is_started_again(folder, page_of):
    with Serving(folder, 0) as serving:
        page = page_of(serving.address + "/lineup", width=1280)
        page.foreseen = ("ERR_CONNECTION_REFUSED", "403 (Forbidden)", "ERR_CONNECTION_RESET",
                         "ERR_SOCKET_NOT_CONNECTED", "ERR_EMPTY_RESPONSE",
                         "ERR_CONTENT_LENGTH_MISMATCH")  # fmt: skip
        page.wait_for_selector("html[data-client]")
    page.locator("button.edit[data-table='orders'][data-row='box-0']").click()
    page.locator(".field input").fill("333")
    page.keyboard.press("Enter")
    page.locator(".beneath:has-text('cannot be reached')").wait_for()
    assert page.locator(".field input").input_value() == "333"
    with Serving(folder, 0, int(serving.address.rpartition(":")[2])):
        page.locator(".field input").press("Enter")
        page.wait_for_selector("button.edit[data-table='orders'][data-row='box-0']:has-text('333')")
        assert quantities(folder)["box-0"] == "333"


@pytest.mark.slow
def test_a_server_may_die_at_every_step_of_a_write(tmp_path):
    died = []
    for step in range(1, MOST_STEPS):
        folder = write_folder(real_size(parts=14, boxes=3), tmp_path / f"step-{step}/flood")
        died.append(killed_at(folder, step))
    assert died.index(False) > 30  # the steps of three edits, in which it died each time
    assert not any(died[died.index(False) :])


def edit_for(seconds: float, window: Window, boxes: list[str], enough: Callable[[], bool]) -> None:
    """Write numbers into the same few cells as all the other windows, as a producer would.

    For some seconds, and on a slow machine until it is enough. The last figure is the window's
    own, so that no two write the same: the second would find its number there already, and that
    is no edit.
    """
    drawn = random.Random(window.name)  # noqa: S311 - a repeatable draw, nothing secret
    begun = time.monotonic()
    while (past := time.monotonic() - begun) < seconds or (past < MOST_S and not enough()):
        box = drawn.choice(boxes)
        was, value = window.seen[box], f"{drawn.randrange(1, 90)}{window.name[-1]}"
        answer = window.edit(box, value, was)
        if answer.status_code == 200:
            window.accepted.append((box, was, value))
            window.seen[box] = value
        else:
            assert answer.status_code == 409, answer.text
            window.seen[box] = answer.json()["theirs"]


def counted(windows: list[Window]) -> Counter:
    """The edits that were accepted, without those that found their number there already."""
    return Counter(edit for window in windows for edit in window.accepted if edit[1] != edit[2])


def ten_windows(folder: Path, seconds: float, *, least: int) -> int:
    """Ten windows edit at once; how many edits were accepted, every one of them accounted for."""
    begun = quantities(folder)
    with Serving(folder, 0) as serving:
        windows = [Window(serving.address, f"window {number}") for number in range(10)]
        for window in windows:
            window.seen = dict(begun)

        def enough() -> bool:
            return counted(windows).total() > least

        threads = [
            threading.Thread(target=edit_for, args=(seconds, window, list(begun), enough))
            for window in windows
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(seconds + MOST_S)
        assert not any(thread.is_alive() for thread in threads)
        for window in windows:
            window.close()
    accepted = counted(windows)
    lines = [line for edit in history(folder) for line in edit.lines]
    assert Counter((line.id, line.before, line.after) for line in lines) == accepted
    stands = dict(begun)
    for line in lines:
        assert line.before == stands[line.id], "an edit was overwritten unseen"
        stands[line.id] = line.after
    assert stands == quantities(folder)
    return accepted.total()


def test_ten_windows_at_once_and_the_history_accounts_for_every_edit(folder):
    assert ten_windows(folder, 3, least=10) > 10


@pytest.mark.slow
def test_ten_windows_for_a_minute(folder):
    assert ten_windows(folder, 60, least=100) > 100
