"""What is typed, tried, marked or dropped while something before it is under way is never lost.

Found in an hour of attacks (docs/attacks.md); each test was seen to fail first.
"""

import csv
import os
import signal

import pytest
from PIL import Image

from storage.small_line import small_line
from web.test_marking import CLICKED, STILL, folder, opened, running, truth, written
from web.test_page_left import DOWN, cell, field

__all__ = ["folder"]  # a fixture
pytestmark = pytest.mark.browser
SLOWER = """ms => {
  const now = window.fetch;
  window.fetch = async (address, said) => {
    const answer = await now(address, said);
    if (String(address) in ms) await new Promise(done => setTimeout(done, ms[String(address)]));
    return answer;
  };
}"""
# How many meshes the page shows, and whether it would be left untold.
HELD = """() => {
  const going = new Event('beforeunload', {cancelable: true});
  dispatchEvent(going);
  return [document.querySelectorAll('[data-arriving]').length, going.defaultPrevented];
}"""
FULL = "() => { Storage.prototype.setItem = () => { throw new Error('full'); }; }"
AT_NOTHING = "while you try nothing is written"


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


def parts_page(page_of, address, **slower):
    """The page of parts, some of whose answers come so many milliseconds later."""
    page = page_of(f"{address}/tables/parts", width=1280)
    page.foreseen = DOWN
    page.wait_for_selector("html[data-client]")
    page.evaluate(SLOWER, {f"/{path.replace('_', '-')}": ms for path, ms in slower.items()})
    return page


def begin_to_try(page):
    page.locator('[data-try="start"]').click()
    page.locator(".trying").wait_for()


def form(page, does):
    found = page.locator(f'form[data-does="{does}"]').first
    found.evaluate(
        "form => { for (let d = form.closest('details'); d; d = d.parentElement.closest('details'))"
        " d.open = true; }"
    )
    return found


def ids(line):
    with (line / "parts.csv").open(encoding="utf-8", newline="") as file:
        return [row["id"] for row in csv.DictReader(file)]


def marked_elsewhere(line, key, place=("111", "222")):
    """Another program writes where the landmark is."""
    file = line / "sightings.csv"
    columns = file.read_text("utf-8").splitlines()[0].split(",")
    cells = {"still": STILL, "landmark": key[0], "side": key[1], "x_px": place[0],
             "y_px": place[1], "sd_px": "4", "how": "point", "state": "seen"}  # fmt: skip
    row = ",".join(cells.get(column, "") for column in columns)
    file.write_text(f"{','.join(columns)}\n{row}\n", encoding="utf-8")


def test_two_values_tried_at_once_are_both_tried_and_saved(page_of, served, line):
    page = parts_page(page_of, served(line), try_=0, **{"try": 500})
    begin_to_try(page)
    field(page, "mass_g", "41")
    page.locator('button.edit[data-row="coat"][data-column="note"]').click()
    page.keyboard.type("mine")
    page.locator('[data-try="write"]').wait_for()
    page.locator('[data-try="write"]').click()
    page.locator(".trying").wait_for(state="detached")
    with (line / "parts.csv").open(encoding="utf-8", newline="") as file:
        notes = {row["id"]: row["note"] for row in csv.DictReader(file)}
    assert (cell(line, "mass_g"), notes["coat"]) == ("41", "mine")


def test_a_try_that_the_browser_cannot_keep_is_refused_with_the_reason(page_of, served, line):
    page = parts_page(page_of, served(line))
    begin_to_try(page)
    page.evaluate(FULL)
    field(page, "mass_g", "41")
    page.locator(".field input").press("Enter")
    page.locator(".beneath").get_by_text("This browser keeps no more of what is tried").wait_for()
    assert page.locator(".field input").input_value() == "41"


def test_nothing_but_what_is_tried_is_written_in_a_try(page_of, folder):
    with running(folder) as (_, address):
        page, hand = opened(page_of, address)
        page.wait_for_selector("html[data-client]")
        begin_to_try(page)
        page.locator("[data-outline-name]").select_option("chin")
        hand.click(300, 300)
        page.locator("#told").get_by_text(AT_NOTHING).wait_for()
        assert not (folder / "outlines.csv").exists()
        page.goto(f"{address}/care")
        page.locator(".trying").wait_for()
        accept = form(page, "accept")
        accept.locator("[name=by]").fill("Ann")
        accept.locator("[name=reason]").fill("as it is")
        accept.locator("button").last.click()
        accept.get_by_text(AT_NOTHING).wait_for()
        assert page.locator(".trying").count() == 1
        assert not (folder / "accepted.csv").exists()


def test_the_next_row_typed_while_one_is_added_stays(page_of, served, line):
    page = parts_page(page_of, served(line), add=600)
    add = form(page, "add")
    add.locator("[name=kind]").select_option("prop")
    add.locator("[name=name]").fill("First")
    add.locator("[name=name]").press("Enter")
    add.locator("[name=name]").fill("Second")
    page.get_by_text("The part First was added.").wait_for()
    assert add.locator("[name=name]").input_value() == "Second"
    assert "first" in ids(line)


def test_a_double_click_adds_one_row(page_of, served, line):
    page = parts_page(page_of, served(line))
    before = len(ids(line))
    add = form(page, "add")
    add.locator("[name=kind]").select_option("prop")
    add.locator("button").last.dblclick()
    page.get_by_text("was added.").wait_for()
    page.wait_for_timeout(500)
    assert len(ids(line)) == before + 1


def test_a_key_within_a_composed_word_leaves_what_is_typed(page_of, served, line):
    """As browsers report the keys of input methods (UI Events, isComposing)."""
    page = parts_page(page_of, served(line))
    field(page, "note", "made by")
    for key in ("Escape", "Tab", "Enter"):
        page.evaluate(
            "key => document.activeElement.dispatchEvent(new KeyboardEvent('keydown',"
            " {key, isComposing: true, bubbles: true, cancelable: true}))",
            key,
        )
    assert page.locator(".field input").input_value() == "made by"


def test_a_mark_that_waited_is_not_written_over_what_a_spreadsheet_saved(page_of, folder):
    key, true = CLICKED[0], truth()
    with running(folder) as (_, address):
        page, hand = opened(page_of, address)
        page.foreseen = (*DOWN, "423 (Locked)")
        page.wait_for_selector("html[data-client]")
        lock = folder / ".~lock.sightings.csv#"
        lock.touch()
        hand.click(*true[key])
        page.get_by_text("The mark waits here").wait_for()
        marked_elsewhere(folder, key)
        hand.stored(key)  # the page shows what was saved
        lock.unlink()
        page.locator("#notices").get_by_text("marked elsewhere meanwhile").wait_for()
        assert written(folder)[key]["x_px"] == "111"


def test_a_mark_that_is_refused_among_others_is_told_until_it_is_seen(page_of, folder):
    true = truth()
    with running(folder) as (server, address):
        page, hand = opened(page_of, address)
        page.foreseen = DOWN
        page.wait_for_selector("html[data-client]")
        os.kill(server.pid, signal.SIGSTOP)
        for key in CLICKED[:4]:
            hand.click(*true[key])
        marked_elsewhere(folder, CLICKED[1])
        os.kill(server.pid, signal.SIGCONT)
        for key in CLICKED[:4]:
            hand.stored(key)
        refused = page.locator("#notices .refusal")
        refused.wait_for()
        assert "Right outer eye corner: That landmark was marked elsewhere" in refused.inner_text()
        assert written(folder)[CLICKED[1]]["x_px"] == "111"


def test_an_outline_that_is_come_back_to_before_it_is_written_is_whole(page_of, folder):
    with running(folder) as (server, address):
        page, hand = opened(page_of, address)
        page.foreseen = DOWN
        page.wait_for_selector("html[data-client]")
        names = page.locator("[data-outline-name]")
        names.select_option("jaw-left")
        page.locator('[data-outline-as="cling"]').click()
        os.kill(server.pid, signal.SIGSTOP)
        for x in (300, 340, 380):
            hand.click(x, 500)
        page.wait_for_timeout(100)
        names.select_option("chin")
        names.select_option("jaw-left")
        hand.click(420, 500)
        page.wait_for_timeout(100)
        os.kill(server.pid, signal.SIGCONT)
        page.locator('[data-outline=jaw-left][data-points*=" 42"]').wait_for(state="attached")
        with (folder / "outlines.csv").open(encoding="utf-8", newline="") as file:
            assert len(list(csv.DictReader(file))) == 4


def drop(page, files):
    """Files and folders let fall on the page, as the system's own file manager does."""
    box = page.locator("main h1").bounding_box()
    session = page.context.new_cdp_session(page)
    data = {"items": [], "files": [str(each) for each in files], "dragOperationsMask": 1}
    for kind in ("dragEnter", "dragOver", "drop"):
        at = {"type": kind, "x": box["x"] + 20, "y": box["y"] + 10, "data": data}
        session.send("Input.dispatchDragEvent", at)


def test_a_folder_among_the_stills_stops_none_of_them(page_of, served, folder, tmp_path):
    (tmp_path / "inner").mkdir()
    for name, grey in (("one.png", 80), ("two.png", 160)):
        Image.new("L", (64, 48), grey).save(tmp_path / name)
    page = page_of(f"{served(folder)}/stills", width=1280)
    page.foreseen = (*DOWN, "ERR_FILE_NOT_FOUND")
    page.wait_for_selector("html[data-client]")
    drop(page, [tmp_path / "one.png", tmp_path / "inner", tmp_path / "two.png"])
    page.locator("#told").get_by_text("inner cannot be read, or is a folder").wait_for()
    said = page.locator("#told").inner_text()
    assert "cannot be reached" not in said
    with (folder / "stills.csv").open(encoding="utf-8", newline="") as file:
        assert {"stills/one.png", "stills/two.png"} <= {r["file"] for r in csv.DictReader(file)}


def test_a_page_is_held_until_the_last_mesh_of_two_drops_has_come(
    page_of, served, folder, tmp_path
):
    for name, size in (("large.stl", 3_000_000), ("small.stl", 1000)):
        (tmp_path / name).write_bytes(bytes(size))
    page = page_of(f"{served(folder)}/sculpts", width=1280)
    page.foreseen = DOWN
    page.wait_for_selector("html[data-client]")
    slow = {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": 1_000_000}
    page.context.new_cdp_session(page).send("Network.emulateNetworkConditions", slow)
    drop(page, [tmp_path / "large.stl"])
    page.get_by_text("large.stl is on its way").wait_for()
    drop(page, [tmp_path / "small.stl"])
    come, held = 0, True
    while come < 2 and held:
        come, held = page.evaluate(HELD)
    assert come == 2


def test_only_a_whole_click_of_the_first_button_draws(page_of, folder):
    with running(folder) as (_, address):
        page, hand = opened(page_of, address)
        page.wait_for_selector("html[data-client]")
        page.locator("[data-outline-name]").select_option("chin")
        page.locator('[data-outline-as="cling"]').click()
        hand.click(400, 500)
        page.locator('[data-outline=chin][data-points*=","]').wait_for(state="attached")
        before = (folder / "outlines.csv").read_bytes()
        box = page.locator("[data-field]").bounding_box()
        at, far = (box["x"] + 200, box["y"] + 60), (box["x"] + 300, box["y"] + 200)
        page.mouse.click(*at, button="right")
        page.mouse.click(*far, button="middle")
        page.mouse.move(5, 5)
        page.mouse.down()
        page.mouse.move(*far)
        page.mouse.up()
        point = page.locator("[data-lines] circle").bounding_box()
        page.mouse.move(point["x"] + 2, point["y"] + 2)
        page.mouse.down()
        page.evaluate("() => document.dispatchEvent(new PointerEvent('pointercancel'))")
        page.mouse.move(*far)
        page.mouse.up()
        page.wait_for_timeout(800)
        assert (folder / "outlines.csv").read_bytes() == before
        hand.click(500, 500)
        page.locator('[data-outline=chin][data-points*=" "]').wait_for(state="attached")


def test_a_decision_that_was_refused_can_be_made_on_what_is_shown_then(page_of, served, folder):
    """The form stays, as a reason was typed in it; what it decides on is renewed."""
    address = served(folder)
    page = page_of(f"{address}/money", width=1280)
    page.foreseen = DOWN
    page.wait_for_selector("html[data-client]")
    accept = page.locator("form[data-does=accept][data-asks*='money.minimum:']").first
    accept.evaluate("form => { form.closest('details').open = true; form.id = 'mine'; }")
    accept = page.locator("#mine")
    accept.locator("[name=by]").fill("Ann")
    accept.locator("[name=reason]").fill("as it is")
    seen = accept.get_attribute("data-asks")
    file = folder / "ways.csv"
    with file.open(encoding="utf-8", newline="") as opened_:
        head, *ways = csv.reader(opened_)
    at = head.index("minimum")
    for way in ways:
        way[at] = way[at] and str(3 * int(way[at]))
    with file.open("w", encoding="utf-8", newline="") as opened_:
        csv.writer(opened_, lineterminator="\n").writerows([head, *ways])
    page.locator("#notices .moved").first.wait_for()
    accept.locator("button").last.click()
    accept.get_by_text("has moved since this page showed it").wait_for()
    assert not (folder / "accepted.csv").exists()
    page.wait_for_function(
        "was => ![...document.querySelectorAll('form[data-does=accept]')]"
        ".some(form => form.dataset.asks === was)",
        arg=seen,
    )
    assert accept.locator("[name=reason]").input_value() == "as it is"
    accept.locator("button").last.click()
    page.get_by_text("Ann accepted a finding").wait_for()


@pytest.mark.parametrize("key", ["Enter", "Tab"])
@pytest.mark.parametrize("first", ["41", "no mass"])
def test_an_answer_takes_no_keyboard_from_who_types_elsewhere(page_of, served, line, key, first):
    """What is typed goes into one value, whatever the one before it is answered meanwhile."""
    page = parts_page(page_of, served(line), edit=500)
    others = (line / "parts.csv").read_text("utf-8").splitlines()[3:]
    field(page, "mass_g", first)
    page.locator(".field input").press(key)
    page.locator('button.edit[data-row="coat"][data-column="note"]').click()
    page.keyboard.type("oiled twice", delay=100)
    if first == "no mass":
        page.locator("#told").get_by_text("Mass of Oar: It must be").wait_for()
        assert page.locator(".beneath").count() == 1
    page.keyboard.press("Enter")
    page.locator('button.edit[data-row="coat"]:has-text("oiled twice")').wait_for()
    with (line / "parts.csv").open(encoding="utf-8", newline="") as file:
        notes = {row["id"]: row["note"] for row in csv.DictReader(file)}
    assert notes["coat"] == "oiled twice"
    after = (line / "parts.csv").read_text("utf-8").splitlines()[3:]
    changed = [row for row, was in zip(after, others, strict=True) if row != was]
    assert all(row.startswith(("oar,", "coat,")) for row in changed)


def test_the_button_that_stops_a_try_takes_no_keyboard_from_who_types(page_of, served, line):
    """Enter at the end of what was typed pressed it once, and all was discarded."""
    page = parts_page(page_of, served(line), **{"try": 600})
    page.locator('[data-try="start"]').click()
    page.locator('button.edit[data-row="coat"][data-column="note"]').click()
    page.keyboard.type("oiled twice", delay=100)
    page.keyboard.press("Enter")
    page.locator(".trying").get_by_text("would be oiled twice").wait_for()
