"""Landmarks are placed on a sculpt, in a real browser: by mouse, by touch and by keys."""

import csv
import os
import signal
import sys
import time
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from line.heads import plain_head
from sixwright.line.landmarks import marking_order
from storage.meshes.made import stl
from storage.small_line import small_line
from web.test_marking import running
from web.test_pages import barriers

MOST_ACTIONS = 20  # for twelve landmarks on a sculpt
ON_MM = 0.001  # places are written to a ten-thousandth of a millimetre
HEAD = plain_head()
MIDDLE = (HEAD.vertices.min(axis=0) + HEAD.vertices.max(axis=0)) / 2
SIZE = float((HEAD.vertices.max(axis=0) - HEAD.vertices.min(axis=0)).max())
MARGIN = 1.12  # of the client's own first view
# Off: what a graphics card that is none says of itself.
REFUSED = ("422 (Unprocessable Entity)", "422 (Unprocessable Content)")
SOFTWARE = ("GPU stall due to ReadPixels", "(this message will no longer repeat)")


@pytest.fixture
def line(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    made = small_line(tmp_path / "line")
    (made / "heads").mkdir()
    (made / "heads/calm.stl").write_bytes(stl(HEAD))
    (made / "sculpts.csv").write_text("id,part,person,expression,tolerance_mm\ncalm,,mara,,0.2\n")
    (made / "rounds.csv").write_text(
        "id,sculpt,number,mesh,unit,up,front\ncalm-1,calm,1,heads/calm.stl,mm,y,z\n"
        "calm-2,calm,2,heads/longer.stl,mm,y,z\n"
    )
    (made / "heads/longer.stl").write_bytes(stl(plain_head(nose=30.0)))
    return made


def written(line) -> dict:
    file = line / "landmarks.csv"
    if not file.exists():
        return {}
    with file.open(encoding="utf-8", newline="") as rows:
        return {(row["landmark"], row["side"]): row for row in csv.DictReader(rows)}


def place(row):
    return np.array([float(row[f"{axis}_mm"]) for axis in "xyz"])


def off_surface(mesh, point):
    """Distance to the planes of the triangles that hold its foot; by its own arithmetic."""
    a, b, c = (mesh.vertices[mesh.faces[:, i]].astype(float) for i in range(3))
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1)
    good = length > 0
    a, b, c, normal = a[good], b[good], c[good], normal[good] / length[good, None]
    height = ((point - a) * normal).sum(axis=1)
    foot = point - height[:, None] * normal
    inside = np.ones(len(a), bool)
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= (np.cross(q - p, foot - p) * normal).sum(axis=1) >= -1e-3
    return np.abs(height[inside]).min()


class Hand:
    """Places on a page, and counts every click and key."""

    def __init__(self, page) -> None:
        self.page, self.actions = page, 0

    def at(self, x, y):
        """Where a place of the front view is on the window, mm."""
        box = self.page.locator("[data-sculpt]").bounding_box()
        step = MARGIN * SIZE / (min(box["width"], box["height"]) - 2)  # without its border
        across = box["x"] + box["width"] / 2 + (x - MIDDLE[0]) / step
        return float(across), float(box["y"] + box["height"] / 2 - (y - MIDDLE[1]) / step)

    def click(self, x, y):
        self.page.mouse.click(*self.at(x, y))
        self.actions += 1

    def key(self, *names):
        for name in names:
            self.page.keyboard.press(name)
            self.actions += 1

    def asked(self):
        point = self.page.locator("button.point[aria-current]")
        return point.get_attribute("data-landmark"), point.get_attribute("data-side")

    def stored(self, key, how="placed"):
        point = f'[data-landmark="{key[0]}"][data-side="{key[1]}"][data-how="{how}"]'
        self.page.locator(point).wait_for(state="attached")


def opened(page_of, address, round_="calm-1", **more):
    page = page_of(f"{address}/sculpts/{round_}", width=1280, **more)
    page.foreseen = SOFTWARE
    page.locator('[data-shown="space"]').wait_for()
    return page, Hand(page)


def test_twelve_landmarks_are_placed_on_the_full_mesh(page_of, line, tmp_path):
    wanted = marking_order()[:12]
    with running(line) as (_, address):
        page, hand = opened(page_of, address)
        hand.actions += 1  # the click that opened the page
        assert barriers(page) == []
        start = time.monotonic()
        spots = {}
        for number, key in enumerate(wanted):
            assert hand.asked() == key
            spots[key] = (3.0 - 0.5 * number, 4.0 - number)
            hand.click(*spots[key])
        for key in wanted:
            hand.stored(key)
        seconds = time.monotonic() - start
        assert barriers(page) == []
        page.screenshot(path=str(tmp_path / "placed.png"))
        page.close()
    rows = written(line)
    assert set(rows) == set(wanted)
    for key in wanted:
        assert (rows[key]["sd_mm"], rows[key]["how"]) == ("0.05", "placed")
        assert off_surface(HEAD, place(rows[key])) < ON_MM, key
    tip = place(rows[wanted[0]])
    assert np.abs(tip[:2] - spots[wanted[0]]).max() < 0.1  # a pixel of the screen is 0.07 mm
    assert hand.actions <= MOST_ACTIONS
    sys.stdout.write(f"{hand.actions} actions, {seconds:.1f} s of the machine's own\n")


def test_a_click_meets_the_mesh_where_the_browser_draws_it(page_of, line):
    with running(line) as (_, address):
        page, hand = opened(page_of, address)
        box = page.locator("[data-sculpt]").bounding_box()
        shown = np.asarray(Image.open(BytesIO(page.screenshot())).convert("L"), float)
        middle = round(box["x"] + box["width"] / 2)
        column = shown[round(box["y"]) + 4 : round(box["y"] + box["height"]) - 4, middle]
        top = round(box["y"]) + 4 + int(np.argmax(column < 240))  # the paper is white
        page.mouse.click(middle, top + 3)
        hand.stored(marking_order()[0])
        page.close()
    placed = place(written(line)[marking_order()[0]])
    step = MARGIN * SIZE / (min(box["width"], box["height"]) - 2)
    assert abs(HEAD.vertices[:, 1].max() - placed[1] - 3 * step) < 2 * step


def test_keys_alone_place_nudge_take_out_and_take_back(page_of, line):
    with running(line) as (_, address):
        page, hand = opened(page_of, address)
        page.locator("[data-sculpt]").focus()
        hand.key("Enter")  # the cross comes to the middle, and nothing is placed
        hand.key("Shift+ArrowUp", "Shift+ArrowRight", "ArrowRight", "Alt+ArrowLeft", "Enter")
        hand.stored(("exocanthion", "left"))
        first = place(written(line)["exocanthion", "left"])
        assert first[:2] == pytest.approx([MIDDLE[0] + 1.075, MIDDLE[1] + 1], abs=0.002)
        hand.key("Shift+Tab", "ArrowDown", "ArrowDown")
        page.locator(f'[data-key="exocanthion/left"]:not([data-place*="{first[1]:.4f}"])').wait_for(
            state="attached"
        )
        moved = place(written(line)["exocanthion", "left"])
        assert moved[:2] == pytest.approx(first[:2] - [0, 0.2], abs=0.002)
        hand.key("Control+ArrowRight", "Control+ArrowUp", "+", "-")
        hand.key("Delete")
        hand.stored(("exocanthion", "left"), "")
        hand.key("Backspace")
        hand.stored(("exocanthion", "left"))
        hand.key("Escape")
        assert "point" in page.evaluate("document.activeElement.className")
        page.close()
    assert place(written(line)["exocanthion", "left"]) == pytest.approx(moved, abs=1e-9)


def test_a_drag_and_two_fingers_turn_it_and_a_tap_places(page_of, line):
    with running(line) as (_, address):
        page, hand = opened(page_of, address, has_touch=True)
        box = page.locator("[data-sculpt]").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        before = page.locator("[data-overlay] path").first.get_attribute("d")
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 80, y, steps=4)
        page.mouse.up()
        assert written(line) == {}
        page.get_by_role("button", name="Nearer").click()
        assert page.locator("[data-overlay] path").first.get_attribute("d") != before
        page.get_by_role("button", name="Front").click()
        box = page.locator("[data-sculpt]").bounding_box()  # the page may have scrolled
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        hand.stored(("exocanthion", "left"))
        page.mouse.click(box["x"] + 5, box["y"] + box["height"] - 5)
        page.foreseen = (*SOFTWARE, "422 (Unprocessable Content)", "422 (Unprocessable Entity)")
        page.get_by_text("The click went past the sculpt").wait_for()
        page.close()
    assert set(written(line)) == {("exocanthion", "left")}


def test_a_server_that_dies_loses_no_place(page_of, line):
    with running(line) as (server, address):
        page, hand = opened(page_of, address)
        page.foreseen = (*SOFTWARE, "ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET",
                         "ERR_EMPTY_RESPONSE", "403 (Forbidden)")  # fmt: skip
        hand.click(3, 4)
        hand.stored(("exocanthion", "left"))
        os.kill(server.pid, signal.SIGKILL)
        server.wait()
        hand.click(-3, 4)
        page.get_by_text("The place waits here").wait_for()
    port = address.rpartition(":")[2]
    with running(line, port):
        hand.stored(("exocanthion", "right"))
        assert set(written(line)) == {("exocanthion", "left"), ("exocanthion", "right")}
        page.close()


def test_landmarks_are_carried_to_the_next_round_one_at_a_time(page_of, line):
    tip = HEAD.vertices[HEAD.vertices[:, 2].argmax()].astype(float)
    eye = HEAD.vertices[np.abs(HEAD.vertices - [5, 4, 16]).sum(axis=1).argmin()].astype(float)
    rows = [f"calm-1,pronasale,mid,{tip[0]:.4f},{tip[1]:.4f},{tip[2]:.4f}",
            f"calm-1,exocanthion,left,{eye[0]:.4f},{eye[1]:.4f},{eye[2]:.4f}"]  # fmt: skip
    (line / "landmarks.csv").write_text(
        "\n".join(["round,landmark,side,x_mm,y_mm,z_mm", *rows, ""])
    )
    with running(line) as (_, address):
        page, hand = opened(page_of, address, "calm-2")
        page.get_by_text("Enter accepts it").wait_for()
        assert len(written(line)) == 2
        page.locator("[data-sculpt]").focus()
        hand.key("Enter")
        hand.stored(("exocanthion", "left"), "carried")
        page.close()
    with (line / "landmarks.csv").open(encoding="utf-8", newline="") as file:
        rows = {(row["round"], row["landmark"]): row for row in csv.DictReader(file)}
    assert set(rows) == {
        ("calm-1", "pronasale"), ("calm-1", "exocanthion"), ("calm-2", "exocanthion"),
    }  # fmt: skip
    row = rows["calm-2", "exocanthion"]
    assert (row["how"], row["sd_mm"]) == ("carried", "0.1")
    assert np.linalg.norm(place(row) - eye) < 0.1
    assert off_surface(plain_head(nose=30.0), place(row)) < ON_MM


def test_without_webgl_the_server_draws_and_a_click_still_meets_the_mesh(page_of, line, tmp_path):
    with running(line) as (_, address):
        page = page_of(f"{address}/sculpts", width=1280)
        page.route("**/static/viewer.js", lambda route: route.abort())
        page.foreseen = ("net::ERR_FAILED",)
        page.goto(f"{address}/sculpts/calm-1")
        page.locator('[data-shown="flat"]').wait_for()
        page.locator("[data-flat]:not([hidden])").wait_for()
        page.locator("[data-flat]").evaluate("image => image.decode()")
        page.get_by_text("the pictures come from sixwright itself").wait_for()
        page.screenshot(path=str(tmp_path / "flat.png"))
        hand = Hand(page)
        hand.click(3, 4)
        hand.stored(("exocanthion", "left"))
        assert barriers(page) == []
        page.set_viewport_size({"width": 390, "height": 860})
        assert page.evaluate("document.documentElement.scrollWidth") == 390
        page.close()
    assert off_surface(HEAD, place(written(line)["exocanthion", "left"])) < ON_MM


def test_a_click_on_a_mesh_that_was_exchanged_meanwhile_places_nothing(page_of, line):
    """The sculptor's new file lies under the same name before the page has shown it."""
    with running(line) as (server, address):
        page, hand = opened(page_of, address)
        page.foreseen = (*SOFTWARE, *REFUSED)
        os.kill(server.pid, signal.SIGSTOP)
        hand.click(3, 4)
        (line / "heads/calm.stl").write_bytes(stl(plain_head(nose=40.0)))
        os.kill(server.pid, signal.SIGCONT)
        page.locator("#notices").get_by_text("was exchanged since").wait_for()
        assert written(line) == {}
        hand.click(3, 4)
        hand.stored(("exocanthion", "right"))
        page.close()


def test_a_carried_place_that_moved_before_it_was_accepted_is_not_written(page_of, line):
    tip = HEAD.vertices[HEAD.vertices[:, 2].argmax()].astype(float)
    head = "round,landmark,side,x_mm,y_mm,z_mm\n"
    row = "calm-1,exocanthion,left,{:.4f},{:.4f},{:.4f}\n"
    (line / "landmarks.csv").write_text(head + row.format(*tip))
    with running(line) as (server, address):
        page, hand = opened(page_of, address, "calm-2")
        page.foreseen = (*SOFTWARE, *REFUSED)
        page.get_by_text("Enter accepts it").wait_for()
        page.locator("[data-sculpt]").focus()
        os.kill(server.pid, signal.SIGSTOP)
        hand.key("Enter")
        (line / "landmarks.csv").write_text(head + row.format(tip[0] - 8, tip[1] + 6, tip[2] - 3))
        os.kill(server.pid, signal.SIGCONT)
        page.locator("#notices").get_by_text("lies elsewhere by now").wait_for()
        with (line / "landmarks.csv").open(encoding="utf-8", newline="") as file:
            assert [each["round"] for each in csv.DictReader(file)] == ["calm-1"]
        page.wait_for_timeout(1500)  # the page has the new place by then
        page.locator("button.point[data-landmark=exocanthion][data-side=left]").click()
        page.get_by_text("Enter accepts it").wait_for()
        hand.key("Enter")
        hand.stored(("exocanthion", "left"), "carried")
        page.close()
