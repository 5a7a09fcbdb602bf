"""An outline is traced by a few clicks, clings to edges, and every point of it can be put right."""

import csv
import os
import signal
from math import hypot

import numpy as np
import pytest

from web.test_marking import folder, opened, running
from web.test_pages import barriers

__all__ = ["folder"]  # the line with one still


def outline(line, name="jaw-left"):
    with (line / "outlines.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["outline"] == name]
    return [
        (float(r["x_px"]), float(r["y_px"])) for r in sorted(rows, key=lambda r: int(r["point"]))
    ]


@pytest.fixture
def traced(folder):
    """A still whose outline is known: a disc of radius 300 px about (720, 540)."""
    from PIL import Image, ImageDraw, ImageFilter

    image = Image.new("RGB", (1440, 1080), (70, 70, 70))
    ImageDraw.Draw(image).ellipse((420, 240, 1020, 840), fill=(190, 180, 170))
    image = image.filter(ImageFilter.GaussianBlur(1.5))
    image.save(folder / "stills/s01-quay.jpg", quality=95)
    stills = (folder / "stills.csv").read_text("utf-8").splitlines()
    cells = stills[1].split(",")
    cells[2] = ""
    (folder / "stills.csv").write_text("\n".join([stills[0], ",".join(cells), ""]), "utf-8")
    return folder


def on_rim(degrees):
    angle = np.radians(degrees)
    return 720 + 300 * np.cos(angle), 540 + 300 * np.sin(angle)


def stored(page, count, name="jaw-left"):
    page.wait_for_function(
        "([name, count]) => (document.querySelector(`[data-outline='${name}']`)?.dataset.points"
        " ?? '').split(' ').filter(Boolean).length === count || count < 0",
        arg=[name, count],
    )


def test_three_clicks_trace_a_rim_and_its_points_are_moved_and_taken_away(
    page_of, traced, tmp_path
):
    with running(traced) as (server, address):
        page, hand = opened(page_of, address)
        page.locator("[data-outline-name]").select_option("jaw-left")
        for degrees in (0, 60, 120):
            hand.click(*on_rim(degrees))
            page.wait_for_function(
                "x => Math.abs(Number((document.querySelector('[data-outline=jaw-left]')"
                "?.dataset.points ?? '').split(' ').at(-1).split(',')[0]) - x) < 3",
                arg=on_rim(degrees)[0],
            )
        points = outline(traced)
        off = [abs(hypot(x - 720, y - 540) - 300) for x, y in points]
        assert len(points) >= 6
        assert max(off) < 4
        assert barriers(page) == []
        page.screenshot(path=str(tmp_path / "outline.png"))
        # Dragged: the second point, by the mouse.
        box = page.locator("[data-field]").bounding_box()
        scale = box["width"] / 1440
        x, y = points[1]
        page.mouse.move(box["x"] + (x + 0.5) * scale, box["y"] + (y + 0.5) * scale)
        page.mouse.down()
        page.mouse.move(box["x"] + (x + 40) * scale, box["y"] + y * scale, steps=4)
        page.mouse.up()
        page.wait_for_function(
            "x => Math.abs(Number(document.querySelector('[data-outline=jaw-left]').dataset.points"
            ".split(' ')[1].split(',')[0]) - x) < 3",
            arg=x + 40,
        )
        assert outline(traced)[1][0] == pytest.approx(x + 40, abs=3)
        assert len(outline(traced)) == len(points)
        # By keys: a quarter of a pixel, then away with it.
        before = outline(traced)
        page.locator("[data-field]").focus()
        hand.key("Alt+ArrowUp", "Alt+ArrowUp")
        stored(page, len(points))
        page.wait_for_timeout(600)
        assert outline(traced)[1][1] == pytest.approx(before[1][1] - 0.5, abs=0.26)
        hand.key("Delete")
        stored(page, len(points) - 1)
        assert len(outline(traced)) == len(points) - 1
        # Clinging off by one key: the next click is one straight piece.
        hand.key("e")
        hand.click(*on_rim(200))
        stored(page, len(points))
        os.kill(server.pid, signal.SIGKILL)
        server.wait()
        assert len(outline(traced)) == len(points)
        page.foreseen = ("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE",
                         "403 (Forbidden)")  # fmt: skip
        hand.click(*on_rim(220))
        page.get_by_text("The outline waits here").wait_for()
        port = address.rpartition(":")[2]
        with running(traced, port):
            stored(page, len(points) + 1)
            page.close()
    assert len(outline(traced)) == len(points) + 1


def test_an_outline_is_drawn_by_keys_alone(page_of, traced):
    with running(traced) as (_, address):
        page, hand = opened(page_of, address)
        page.locator("[data-outline-name]").focus()
        page.locator("[data-outline-name]").select_option("chin")
        page.locator("[data-field]").focus()
        hand.key("e", "Enter", "Control+ArrowRight", "ArrowDown", "Enter")
        stored(page, 2, "chin")
        hand.key("Tab", "Shift+ArrowLeft")
        page.locator("[data-outline=chin][data-points^='710']").wait_for(state="attached")
        hand.key("Escape")
        assert page.locator("[data-outline-name]").input_value() == ""
        assert hand.asked() == ("exocanthion", "left")
        page.close()
    assert outline(traced, "chin") == [(710, 540), (820, 541)]
