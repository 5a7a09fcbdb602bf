"""Fingers in a real browser, and how a sculpt is turned for the next landmark."""

import json
import re
from contextlib import contextmanager

import pytest

from web.test_marking import STILL, running
from web.test_marking import folder as folder  # noqa: PLC0414 - a fixture
from web.test_sculpt import line as line  # noqa: PLC0414 - a fixture
from web.test_sculpt import opened, written

MOST_TIP = 0.4226  # sine of 25 degrees, from a table


def touch(session, kind, *points):
    at = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
    session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})


def middle_of(box):
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def spread(session, middle, start, end):
    """Two fingers, side by side about a middle, go from so far apart to so far apart, px."""
    x, y = middle
    touch(session, "touchStart", (x - start / 2, y))
    touch(session, "touchStart", (x - start / 2, y), (x + start / 2, y))
    for share in (0.25, 0.5, 0.75, 1.0):
        half = (start + share * (end - start)) / 2
        touch(session, "touchMove", (x - half, y), (x + half, y))
    touch(session, "touchEnd")


def pixels_per_mm(page):
    """From the scale bar: its length in pixels over the millimetres that it says."""
    bar = page.locator("[data-overlay] path.bar").get_attribute("d")
    start, end = re.fullmatch(r"M([\d.]+) .*H([\d.]+)V.*", bar).groups()
    words = page.locator("[data-overlay] text").text_content()
    return (float(end) - float(start)) / float(words.removesuffix(" mm"))


def asks(page, key):
    page.locator(f'button.point[data-key="{key}"]').click()


@contextmanager
def looking(page, found):
    """What is sent when a landmark is placed: along which way it was looked at the sculpt."""
    with page.expect_request("**/place", timeout=60_000) as sent:
        yield
    found.append(json.loads(sent.value.post_data)["along"])


def looked_along(page):
    found = []
    field = page.locator("[data-sculpt]")
    field.evaluate("field => field.scrollIntoView({ block: 'center', behavior: 'instant' })")
    with looking(page, found):
        page.mouse.click(*middle_of(field.bounding_box()))
    return found[0]


def test_two_fingers_bring_a_sculpt_nearer_and_one_turns_it(page_of, line):
    with running(line) as (_, address):
        page, _ = opened(page_of, address, has_touch=True)
        page.locator("[data-sculpt]").scroll_into_view_if_needed()
        session = page.context.new_cdp_session(page)
        middle = middle_of(page.locator("[data-sculpt]").bounding_box())
        before = pixels_per_mm(page)
        spread(session, middle, 80, 160)
        assert pixels_per_mm(page) / before == pytest.approx(2, rel=0.02)
        spread(session, middle, 160, 80)
        assert pixels_per_mm(page) == pytest.approx(before, rel=0.02)
        assert written(line) == {}
        x, y = middle
        touch(session, "touchStart", (x, y))
        for far in (20, 40, 60):
            touch(session, "touchMove", (x + far, y))
        touch(session, "touchEnd")
        assert written(line) == {}
        across, _, deep = looked_along(page)  # 60 px are 30 degrees
        assert (across, deep) == pytest.approx((0.5, -0.866), abs=0.001)
        page.close()


def test_two_fingers_zoom_a_still_and_neither_move_the_cross_nor_mark(page_of, folder):
    with running(folder) as (_, address):
        page = page_of(f"{address}/stills/{STILL}", width=820, has_touch=True, is_mobile=True)
        field = page.locator("[data-field]")
        field.scroll_into_view_if_needed()
        x, y = middle_of(field.bounding_box())
        page.touchscreen.tap(x, y)
        page.get_by_text("At 719.").or_(page.get_by_text("At 720.")).wait_for()
        cross = page.locator("[data-marks]").inner_html()
        session = page.context.new_cdp_session(page)
        spread(session, (x + 60, y + 40), 80, 200)
        page.wait_for_function("visualViewport.scale > 1.5")
        assert page.locator("[data-marks]").inner_html() == cross
        page.close()
    assert not (folder / "sightings.csv").read_text().strip().count(f"\n{STILL},")


def test_what_the_page_turned_it_turns_back_to_the_front(page_of, line):
    with running(line) as (_, address):
        page, _ = opened(page_of, address)
        for aside, then in (("tragion/left", "pronasale/mid"), ("tragion/right", "stomion/mid")):
            asks(page, aside)
            assert abs(looked_along(page)[0]) > 0.5
            asks(page, then)
            assert looked_along(page) == pytest.approx((0, 0, -1), abs=1e-9)
        page.close()


def test_the_chin_is_seen_from_a_little_beneath(page_of, line):
    with running(line) as (_, address):
        page, _ = opened(page_of, address)
        asks(page, "gnathion/mid")
        across, up, deep = looked_along(page)
        assert (across, up) == pytest.approx((0, MOST_TIP), abs=0.0005)
        assert deep < 0
        page.close()


def test_what_a_hand_turned_stays_where_it_shows_the_next_landmark(page_of, line):
    with running(line) as (_, address):
        page, _ = opened(page_of, address)
        page.get_by_role("button", name="Its left", exact=True).click()
        asks(page, "exocanthion/left")
        assert looked_along(page) == pytest.approx((-1, 0, 0), abs=1e-9)
        page.close()
