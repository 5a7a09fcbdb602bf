"""From a mesh and three stills to an answer, counted in actions; the server killed twice.

The mesh is the demo's first round, made from formulas, with a nose planted 0.9 mm too far out; the
stills are what OpenCV's projection makes of the person's own landmarks. Nothing of it is shared
with what solves.
"""

import csv
import os
import re
import signal
import sys
import time
from io import BytesIO

import cv2
import numpy as np
import pytest
import trimesh
from heads.files import mesh_file, write
from heads.landmarks import landmarks
from heads.sculpts import PER_MM, SCULPTS
from PIL import Image, ImageDraw

from storage.small_line import small_line
from web import test_marking, test_sculpt
from web.test_marking import running
from web.test_pages import barriers

MOST_ACTIONS = (
    110  # of which the thirteen on the sculpt and what is hidden are a key or a click each
)
MOST_S = 300  # of the machine's own; the hand's are about a second an action
TRIANGLES = 30_000
SIZE = (1200, 1500)
FOCAL_PX, AWAY_MM = 6600.0, 310.0
YAWS = {"ahead.jpg": 8.0, "left.jpg": 42.0, "right.jpg": -55.0}
PLACED, SEEN = 13, 12
# Seen from the front only edge-on, or beneath something: placed from another side, not here.
ASIDE = {"gnathion", "tragion", "gonion", "zygion", "otobasion-inferius", "vertex", "trichion",
         "opisthocranion", "cervicale", "frontotemporale", "alare"}  # fmt: skip
GONE = ("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE", "403 (Forbidden)",
        "ERR_NETWORK_CHANGED", "ERR_INCOMPLETE_CHUNKED_ENCODING")  # fmt: skip


@pytest.fixture(scope="module")
def head(tmp_path_factory):
    """The sculpt's file, where its landmarks lie, and where the person's do; mm at 1:6."""
    folder = tmp_path_factory.mktemp("heads")
    first = SCULPTS[0]
    write(first, triangles=TRIANGLES, folder=folder)
    own = {key: np.array(place) / PER_MM for key, place in first.landmarks.items()}
    person = {key: np.array(place) / PER_MM for key, place in landmarks(first.head).items()}
    return mesh_file(folder, first), own, person


def camera(yaw_deg):
    """Rotation and shift of a camera that looks at the head: x right, y down, z forward."""
    yaw = np.radians(yaw_deg)
    forward = -np.array([np.sin(yaw), 0.0, np.cos(yaw)])
    down = np.array([0.0, -1.0, 0.0])
    turn = np.stack([np.cross(down, forward), down, forward])
    return turn, np.array([0.0, 0.0, AWAY_MM])


def sightings(mesh, person, yaw_deg):
    """Where a still shows each landmark that nothing hides, px."""
    turn, shift = camera(yaw_deg)
    lens = np.array([[FOCAL_PX, 0, SIZE[0] / 2], [0, FOCAL_PX, SIZE[1] / 2], [0, 0, 1]])
    keys = list(person)
    at = np.array([person[key] for key in keys])
    flat, _ = cv2.projectPoints(at, cv2.Rodrigues(turn)[0], shift, lens, None)
    eye = -turn.T @ shift
    ways = at - eye
    far = np.linalg.norm(ways, axis=1)
    hits, rays, _ = mesh.ray.intersects_location(np.tile(eye, (len(at), 1)), ways / far[:, None])
    first = np.full(len(at), np.inf)
    np.minimum.at(first, rays, np.linalg.norm(hits - eye, axis=1))
    return {key: tuple(place) for key, place, near, own in zip(keys, flat[:, 0], first, far,
                                                               strict=True)
            if near > own - 1.2}  # fmt: skip


def picture(seen) -> bytes:
    """Something to look at: a spot where each landmark is."""
    image = Image.effect_noise(SIZE, 40).convert("RGB")
    pen = ImageDraw.Draw(image)
    for x, y in seen.values():
        pen.ellipse((x - 4, y - 4, x + 4, y + 4), fill=(240, 230, 220))
    made = BytesIO()
    image.save(made, "JPEG", quality=80)
    return made.getvalue()


def rows(line, table):
    with (line / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


class Path:
    """One way through the pages; every click, key and drop is counted."""

    def __init__(self, page, address) -> None:
        self.page, self.address, self.actions = page, address, 0

    def go(self, to):
        self.page.goto(f"{self.address}{to}")
        self.page.locator("html[data-client]").wait_for(state="attached")
        self.actions += 1

    def click(self, role, name):
        self.page.get_by_role(role, name=name).first.click()
        self.actions += 1

    def drop(self, field, files):
        self.page.locator(field).set_input_files(files)
        self.actions += 1


def bring_sculpt(path, mesh):
    path.go("/sculpts")
    file = {"name": "level.ply", "mimeType": "application/octet-stream", "buffer": mesh}
    path.drop("[data-files]", [file])
    path.page.locator('[data-stage="checked"]').wait_for()
    path.page.locator("input[name=person]").fill("keeper")
    path.actions += 1
    path.click("button", "It is right: keep it")
    path.page.locator(".arriving").wait_for(state="detached")


def place_landmarks(path, line, own, mesh):
    """Thirteen landmarks on the sculpt, from the front: the one that is asked for, or the next."""
    round_ = rows(line, "rounds")[0]["id"]
    path.go(f"/sculpts/{round_}")
    path.page.locator('[data-shown="space"]').wait_for()
    hand = test_sculpt.Hand(path.page)
    low, high = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    middle, size = (low + high) / 2, float((high - low).max())
    placed: list[tuple[str, str]] = []
    turned = False
    path.page.locator("[data-sculpt]").focus()
    while len(placed) < PLACED:
        key = hand.asked()
        if key[0] in ASIDE or key not in own:
            hand.key("Tab")
            turned = True
            continue
        if turned:  # it was turned to show what was asked for meanwhile
            path.page.get_by_role("button", name="Front", exact=True).click()
            path.page.locator("[data-sculpt]").focus()
            hand.actions += 1
            turned = False
        box = path.page.locator("[data-sculpt]").bounding_box()
        step = test_sculpt.MARGIN * size / (min(box["width"], box["height"]) - 2)
        x, y = own[key][:2]
        path.page.mouse.click(box["x"] + box["width"] / 2 + (x - middle[0]) / step,
                              box["y"] + box["height"] / 2 - (y - middle[1]) / step)  # fmt: skip
        hand.actions += 1
        hand.stored(key)
        placed.append(key)
    path.actions += hand.actions
    return placed


def mark(path, still, seen, placed):
    """Twelve landmarks: a click each, or a key for what the still does not show."""
    path.go(f"/stills/{still}")
    path.click("button", "As it is: this is right")
    path.page.locator("[data-marking]").wait_for()
    hand = test_marking.Hand(path.page)
    path.page.locator("[data-field]").scroll_into_view_if_needed()
    count = 0
    path.page.locator("[data-field]").focus()
    while count < SEEN:
        key = hand.asked()
        if key in seen and key in placed:
            hand.click(*seen[key])
            hand.stored(key)
            count += 1
        elif len(set(placed) & set(seen)) <= count:
            break
        else:
            hand.key("h")
            hand.stored(key, "hidden")
    path.actions += hand.actions
    return hand.actions


def test_from_a_mesh_and_three_stills_to_an_answer(page_of, head, tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    file, own, person = head
    line = small_line(tmp_path / "line")
    mesh = trimesh.load(file, process=False)
    shown = {name: sightings(mesh, person, yaw) for name, yaw in YAWS.items()}
    start = time.monotonic()
    with running(line) as (server, address):
        page = page_of(f"{address}/sculpts", width=1280)
        page.foreseen = (*test_sculpt.SOFTWARE, *GONE)
        path = Path(page, address)
        bring_sculpt(path, file.read_bytes())
        placed = place_landmarks(path, line, own, mesh)
        path.go("/stills")
        path.drop("[data-stills]", [
            {"name": name, "mimeType": "image/jpeg", "buffer": picture(seen)}
            for name, seen in shown.items()
        ])  # fmt: skip
        page.get_by_text("3 stills were brought in.").wait_for()
        each = [mark(path, "ahead", shown["ahead.jpg"], placed)]
        before = rows(line, "sightings")
        os.kill(server.pid, signal.SIGKILL)  # in mid-mark
        server.wait()
        assert rows(line, "sightings") == before
    port = address.rpartition(":")[2]
    with running(line, port) as (server, _):
        each += [mark(path, name, shown[f"{name}.jpg"], placed) for name in ("left", "right")]
        marked = rows(line, "sightings")
        os.kill(server.pid, signal.SIGKILL)  # in mid-solve: the last mark asked for an answer
        server.wait()
        assert rows(line, "sightings") == marked
    with running(line, port):
        path.go("/likeness")
        page.locator("figure.photo img").first.wait_for(timeout=MOST_S * 1000)
        page.locator("figure.photo img").nth(1).scroll_into_view_if_needed()
        page.locator("figure.photo img").nth(1).evaluate("image => image.decode()")
        said = re.sub(r"\s+", " ", page.locator("main").inner_text())
        seconds = time.monotonic() - start
        assert barriers(page) == []
        page.screenshot(path=str(tmp_path / "answer.png"), full_page=True)
        page.close()
    sys.stdout.write(f"{path.actions} actions ({each} on the stills), {seconds:.0f} s\n")
    assert "through the lens of" in said
    assert "would reveal" in said  # what these stills could show at best, and never
    found = re.search(r"level, round 1: the nose tip alone (0\.\d) mm in \(", said)
    assert found, said[:600]
    assert 0.5 <= float(found[1]) <= 1.2  # planted: 0.9, with what its maker's hand did besides
    assert max(each) <= 30
    assert path.actions <= MOST_ACTIONS
