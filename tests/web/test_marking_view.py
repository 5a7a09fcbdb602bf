"""What a hand sees while it marks: the whole still, the place to look at, and the way on."""

from pathlib import Path

from web import test_marking
from web.test_marking import CLICKED, opened, running, truth

folder = test_marking.folder
SURE_OF_FIRST = '.spot[data-landmark="exocanthion"][data-side="left"][data-sure="{}"]'
MAGNIFIER = """() => {
  const box = document.querySelector("[data-magnifier]").getBoundingClientRect();
  const cross = document.querySelector(".expected").getBoundingClientRect();
  const [x, y] = [cross.left + cross.width / 2, cross.top + cross.height / 2];
  return {x, y, hides: x > box.left && x < box.right && y > box.top && y < box.bottom};
}"""


def test_the_page_opens_at_the_still_and_shows_the_whole_of_it(page_of, folder):
    with running(folder) as (_, address):
        page, _ = opened(page_of, address)
        foot = page.locator("[data-field]").evaluate("e => e.getBoundingClientRect().bottom")
        strip = page.locator(".strip").evaluate("e => e.getBoundingClientRect().top")
        assert 0 < foot <= strip
        page.close()


def test_a_soft_mark_made_anew_stays_soft_and_those_that_follow_are_sharp(page_of, folder):
    x, y = truth()[CLICKED[0]]
    with running(folder) as (_, address):
        page, hand = opened(page_of, address)
        page.locator("[data-sure-as=soft]").click()
        hand.click(x, y)
        page.locator(SURE_OF_FIRST.format("soft")).wait_for(state="attached")
        page.locator("[data-sure-as=sharp]").click()
        page.locator('.spot[data-landmark="exocanthion"][data-side="left"]').click()
        assert page.locator("[data-sure-as=soft]").get_attribute("aria-pressed") == "true"
        hand.click(x + 12, y + 9)
        page.get_by_text("was moved by 1", exact=False).wait_for()
        assert page.locator(SURE_OF_FIRST.format("soft")).count() == 1
        assert page.locator("[data-sure-as=sharp]").get_attribute("aria-pressed") == "true"
        page.close()
    rows = Path(folder / "sightings.csv").read_text("utf-8")
    assert rows.count("seen") == 1


def test_the_magnifier_never_lies_over_the_place_to_look_at(page_of, folder):
    """Larger and larger, the still is pushed so that the place comes under where it usually is."""
    true = truth()
    with running(folder) as (_, address):
        page, hand = opened(page_of, address)
        for key in CLICKED:
            while hand.asked() != key:
                hand.key("u")
            hand.click(*true[key])
        page.locator('.spot[aria-current]:not([data-expected-x=""])').wait_for()
        hand.key("+", "+", "+")
        page.locator(".expected").wait_for(state="attached")
        frame = page.locator("[data-frame]").bounding_box()
        seen = 0
        for _ in range(4):
            at = page.evaluate(MAGNIFIER)
            far = frame["x"] + frame["width"] - 100
            page.locator("[data-frame]").evaluate(
                "(e, [x, y]) => e.scrollBy(x, y)", [at["x"] - far, at["y"] - frame["y"] - 100]
            )
            hand.key("Shift+Tab", "Tab")
            at = page.evaluate(MAGNIFIER)
            seen += at["x"] > frame["x"] + frame["width"] / 2
            assert not at["hides"]
            hand.key("u")
        assert seen
        page.close()
