"""A page that is left, or at whose address another line is opened: no work on it is lost untold."""

import csv
import os
import shutil
import signal

import pytest

from storage.small_line import bytes_of, small_line
from web.test_marking import CLICKED, folder, opened, running, truth, written

__all__ = ["folder"]  # a fixture
pytestmark = pytest.mark.browser
MARKED = CLICKED[:4]
LEFT_FOR = "/tables"
DOWN = ("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE", "403 (Forbidden)",
        "ERR_SOCKET_NOT_CONNECTED", "422 (Unprocessable Entity)",
        "422 (Unprocessable Content)")  # fmt: skip


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


def cell(line, column):
    with (line / "parts.csv").open(encoding="utf-8", newline="") as file:
        return next(row[column] for row in csv.DictReader(file) if row["id"] == "oar")


def asked_before(page, answer="dismiss"):
    """The questions that the browser asks before the page is left, each answered."""
    asked = []

    def on(dialog):
        asked.append(dialog.type)
        getattr(dialog, answer)()

    page.on("dialog", on)
    return asked


def field(page, column, text):
    page.locator(f'button.edit[data-row="oar"][data-column="{column}"]').click()
    page.locator(".field input").fill(text)


def in_two_lines(line, line_break):
    """The note of the oar as a spreadsheet writes a cell with a line break."""
    file = line / "parts.csv"
    rows = file.read_bytes().decode().splitlines(keepends=True)
    made = [
        row.replace("6,\n", f'6,"one{line_break}two"\n') if row.startswith("oar,") else row
        for row in rows
    ]
    file.write_bytes("".join(made).encode())
    assert cell(line, "note") == f"one{line_break}two"


def marked_while_it_hangs(page, hand, server):
    true = truth()
    page.foreseen = DOWN
    page.wait_for_selector("html[data-client]")
    os.kill(server.pid, signal.SIGSTOP)
    for key in MARKED:
        hand.click(*true[key])


def test_a_link_waits_for_marks_that_are_not_written_yet(page_of, folder):
    with running(folder) as (server, address):
        page, hand = opened(page_of, address)
        asked = asked_before(page)
        marked_while_it_hangs(page, hand, server)
        page.locator(f'.spine a[href="{LEFT_FOR}"], a[href="{LEFT_FOR}"]').first.click()
        page.get_by_text("One moment: what was changed on this page is being written.").wait_for()
        os.kill(server.pid, signal.SIGCONT)
        page.wait_for_url(f"**{LEFT_FOR}")
        assert set(written(folder)) == set(MARKED)
        assert asked == []


def test_who_loads_a_page_anew_while_marks_wait_is_asked(page_of, folder):
    with running(folder) as (server, address):
        page, hand = opened(page_of, address)
        asked = asked_before(page)
        marked_while_it_hangs(page, hand, server)
        page.evaluate("setTimeout(() => location.reload())")
        page.wait_for_timeout(300)
        os.kill(server.pid, signal.SIGCONT)
        for key in MARKED:
            hand.stored(key)
        assert set(written(folder)) == set(MARKED)
        assert asked == ["beforeunload"]


def test_a_value_that_is_refused_holds_the_page(page_of, line):
    with running(line) as (_, address):
        page = page_of(f"{address}/tables/parts", width=1280)
        page.foreseen = DOWN
        page.wait_for_selector("html[data-client]")
        asked = asked_before(page)
        was = cell(line, "mass_g")
        field(page, "mass_g", "abc")
        page.locator(".spine a").nth(2).click()
        page.locator(".beneath").wait_for()
        page.wait_for_timeout(300)
        assert (asked, page.url) == (["beforeunload"], f"{address}/tables/parts")
        page.locator(".field input").fill("41")
        page.locator(".spine a").nth(2).click()
        page.wait_for_url(lambda url: not url.endswith("/tables/parts"))
        assert (was, cell(line, "mass_g")) == ("16", "41")
        assert asked == ["beforeunload"]


def test_what_was_typed_for_one_line_is_never_written_into_another(page_of, line, tmp_path):
    """Of two copies of a line, the cell and what stands in it are the same."""
    other = shutil.copytree(line, tmp_path / "other")
    before = (other / "parts.csv").read_bytes()
    with running(line) as (server, address):
        page = page_of(f"{address}/tables/parts", width=1280)
        page.foreseen = DOWN
        page.wait_for_selector("html[data-client]")
        field(page, "note", "for the first")
        server.kill()
        server.wait()
    port = address.rpartition(":")[2]
    with running(other, port) as (server, _):
        page.locator(".field input").press("Enter")
        page.get_by_text("Another line is open at this address now").first.wait_for()
        page.locator(".field input").press("Enter")
        page.wait_for_timeout(500)
        assert (other / "parts.csv").read_bytes() == before
        assert page.locator(".field input").input_value() == "for the first"
        server.kill()
        server.wait()
    with running(line, port):
        page.locator(".field input").press("Enter")
        page.locator('button.edit:has-text("for the first")').wait_for()
        assert cell(line, "note") == "for the first"


@pytest.mark.parametrize("line_break", ["\n", "\r\n"])
def test_a_cell_of_two_lines_that_is_only_looked_at_stays(page_of, line, line_break):
    in_two_lines(line, line_break)
    before = bytes_of(line)
    with running(line) as (_, address):
        page = page_of(f"{address}/tables/parts", width=1280)
        page.foreseen = DOWN
        page.wait_for_selector("html[data-client]")
        value = page.locator('button.edit[data-row="oar"][data-column="note"]')
        value.click()
        assert page.locator(".field input").input_value() == "one two"
        page.locator("h1").click()
        page.locator(".field input").wait_for(state="detached")
        page.wait_for_timeout(300)
        assert bytes_of(line) == before
        value.click()
        page.keyboard.press("End")
        page.keyboard.type(" three")
        page.keyboard.press("Enter")
        page.locator('button.edit:has-text("one two three")').wait_for()
        assert cell(line, "note") == "one two three"


def test_a_choice_written_in_another_manner_that_is_only_looked_at_stays(page_of, line):
    file = line / "contents.csv"
    file.write_bytes(file.read_bytes().replace(b"crossing,oar,1,,", b"crossing,oar,1,No,", 1))
    before = bytes_of(line)
    with running(line) as (_, address):
        page = page_of(f"{address}/tables/contents", width=1280)
        page.foreseen = DOWN
        page.wait_for_selector("html[data-client]")
        page.locator('button.edit[data-was="No"]').click()
        options = page.locator(".field select option")
        options.nth(2).wait_for(state="attached")
        assert page.locator(".field select").input_value() == "No"
        page.locator("h1").click()
        page.locator(".field select").wait_for(state="detached")
        page.wait_for_timeout(300)
        assert bytes_of(line) == before
