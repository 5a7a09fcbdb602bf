"""Meshes are dropped on their page, shown, corrected with a click, and kept or put away."""

import csv
import re
import time

import numpy as np
import pytest

from line.heads import plain_head
from numerics.mesh.shapes import mesh
from sixwright.line.head_shape import frame_of
from sixwright.web.app import make_app
from storage.meshes.made import stl
from storage.small_line import bytes_of, small_line
from web.asking import Client, asks, clock
from web.test_pages import barriers

MOST_S = 60
OCTETS = {"content-type": "application/octet-stream"}


@pytest.fixture(scope="module")
def head():
    """A head that lies on its back, in millimetres."""
    made = plain_head()
    return stl(mesh(made.vertices @ frame_of("+z", "-y"), made.faces, np.float32))


@pytest.fixture
def line(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    return small_line(tmp_path / "line")


def arrived(client, content, name="Calm.stl"):
    """Send a file and wait until it is checked or refused; its id and the page then."""
    token = {"x-sixwright-token": client.token(), "x-sixwright-name": name}
    answer = client.raw("POST", "/mesh", content, **OCTETS, **token)
    assert answer.status_code == 200, answer.text
    id_ = answer.json()["arrival"]
    end = time.monotonic() + MOST_S
    while client.get(f"/arrivals/{id_}").json()["stage"] not in {"checked", "refused"}:
        assert time.monotonic() < end
        time.sleep(0.05)
    return id_, client.get("/sculpts").text


def rows(line, table):
    with (line / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_mesh_is_shown_and_corrected_before_anything_is_written(line, head):
    client = Client(make_app(line, clock))
    before = bytes_of(line)
    id_, page = arrived(client, head)
    assert "Its -y points out of the face" in re.sub("</?b>", "", page)
    picture = client.get(f"/arrivals/{id_}/picture")
    assert picture.headers["content-type"] == "image/jpeg"
    assert bytes_of(line) == before
    turned = client.post("/read-mesh", page="/sculpts", arrival=id_, turn="forwards")
    assert turned.json()["kind"] == "written"
    assert client.get(f"/arrivals/{id_}/picture").content != picture.content
    client.post("/read-mesh", page="/sculpts", arrival=id_, turn="backwards")
    inches = client.post("/read-mesh", page="/sculpts", arrival=id_, unit="in").json()["page"]
    assert 'aria-pressed="true">Inches' in inches
    client.post("/read-mesh", page="/sculpts", arrival=id_, unit="mm")
    assert client.get(f"/arrivals/{id_}/picture").content == picture.content
    (asked,) = asks(client.get("/sculpts").text, "keep-mesh")
    assert asked["arrival"] == id_
    client.post("/read-mesh", page="/sculpts", arrival=id_, unit="in")
    said = {**asked, "kept_as": "own", "person": "mara"}
    refused = client.post("/keep-mesh", page="/sculpts", **said)  # another window reads inches
    assert "has moved since this page showed it" in refused.json()["said"]
    assert not (line / "rounds.csv").exists()
    client.post("/read-mesh", page="/sculpts", arrival=id_, unit="mm")
    kept = client.post("/keep-mesh", page="/sculpts", **said)
    assert kept.json()["kind"] == "written", kept.text
    (sculpt,), (round_,) = rows(line, "sculpts"), rows(line, "rounds")
    assert (sculpt["id"], sculpt["person"]) == ("calm", "mara")
    assert (round_["mesh"], round_["unit"], round_["up"]) == ("heads/calm.stl", "mm", "z")
    assert (line / "heads/calm.stl").read_bytes() == head
    assert f'data-arriving="{id_}"' not in kept.json()["page"]
    again = client.raw("POST", "/mesh", head, **OCTETS, **{
        "x-sixwright-token": client.token(), "x-sixwright-name": "b.stl"})  # fmt: skip
    assert "b.stl is round 1 of calm already" in again.json()["said"]


@pytest.mark.parametrize(
    ("content", "name", "found"),
    [
        (b"Six heads, please.", "Calm.stl", "found other text"),
        (b"\x89PNG\r\n\x1a\n" + b"0" * 900, "Calm.obj", "found a PNG picture"),
        (b"ply\nformat ascii 1.0\nend_header\n", "Calm.ply", "expected"),
    ],
)
def test_a_refused_file_leaves_nothing_and_says_why(line, tmp_path, content, name, found):
    client = Client(make_app(line, clock))
    before = bytes_of(line)
    id_, page = arrived(client, content, name)
    assert found in page
    assert "Nothing was written." in page
    assert bytes_of(line) == before
    client.post("/put-mesh-away", page="/sculpts", arrival=id_)
    assert list((tmp_path / "cache/arrivals").iterdir()) == []
    kept = client.post("/keep-mesh", page="/sculpts", arrival=id_, seen="", kept_as="own")
    assert kept.json()["said"].startswith("That mesh is not here any more")


def test_a_mesh_dropped_among_stills_is_shown_on_its_page(page_of, served, line, head):
    page = page_of(f"{served(line)}/stills", width=1280)
    page.locator("html[data-client]").wait_for(state="attached")
    page.locator("[data-stills]").set_input_files(
        [{"name": "Calm.stl", "mimeType": "model/stl", "buffer": head}]
    )
    page.get_by_role("link", name="Look at the mesh").click()
    page.locator('[data-stage="checked"]').wait_for()
    page.get_by_role("button", name="Put it away").click()
    page.locator("[data-arriving]").wait_for(state="detached")
    assert not (line / "heads").exists()


def test_a_page_asked_while_a_mesh_is_checked_comes_at_once(line, head):
    client = Client(make_app(line, clock))
    token = {"x-sixwright-token": client.token(), "x-sixwright-name": "a.stl"}
    id_ = client.raw("POST", "/mesh", head, **OCTETS, **token).json()["arrival"]
    page = client.get("/sculpts").text
    assert f'data-arriving="{id_}" data-stage="looking"' in page
    stopped = client.post("/put-mesh-away", page="/sculpts", arrival=id_)
    assert stopped.json()["said"] == "The mesh was put away; nothing was written."
    assert client.get(f"/arrivals/{id_}").json()["stage"] == "ended"


def test_a_file_that_is_too_large_is_not_taken_in(line, monkeypatch):
    monkeypatch.setattr("sixwright.storage.meshes.arriving.MOST_BYTES", 1000)
    client = Client(make_app(line, clock))
    answer = client.raw("POST", "/mesh", b"0" * 1001, **OCTETS, **{
        "x-sixwright-token": client.token(), "x-sixwright-name": "a.stl"})  # fmt: skip
    assert (answer.status_code, answer.json()["said"]) == (
        413, "A mesh may have at most 1.5 GB; nothing was kept.",
    )  # fmt: skip
    assert "data-arriving" not in client.get("/sculpts").text


def test_a_mesh_is_dropped_turned_by_a_click_and_kept(page_of, served, line, head, tmp_path):
    page = page_of(f"{served(line)}/sculpts", width=1280)
    page.locator("html[data-client]").wait_for(state="attached")
    assert barriers(page) == []
    page.locator("[data-files]").set_input_files(
        [{"name": "Calm.stl", "mimeType": "model/stl", "buffer": head}]
    )
    page.locator('[data-stage="checked"]').wait_for()
    page.locator(".arriving img").evaluate("image => image.decode()")
    assert barriers(page) == []
    page.screenshot(path=str(tmp_path / "arriving.png"), full_page=True)
    first = page.locator(".arriving img").get_attribute("src")
    page.get_by_role("button", name="Turn it to its left").click()
    page.locator(f'.arriving img:not([src="{first}"])').wait_for()
    page.get_by_role("button", name="Turn it to its right").focus()
    page.keyboard.press("Enter")
    page.locator(f'.arriving img[src="{first}"]').wait_for()
    page.get_by_role("button", name="It is right: keep it").click()
    page.locator(".arriving").wait_for(state="detached")
    page.get_by_role("cell", name="heads/calm.stl").wait_for()
    page.set_viewport_size({"width": 390, "height": 860})
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert rows(line, "rounds")[0]["front"] == "-y" or "y" in rows(line, "rounds")[0]["front"]
