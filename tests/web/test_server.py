"""The server: this machine only, no script or style in line, always up to date."""

import os
import re
from datetime import UTC, datetime

import pytest
import uvicorn

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.cli.clock import clock_at
from sixwright.cli.serve import run_serve
from sixwright.storage.folder import read
from sixwright.storage.history.log import history
from sixwright.web.app import make_app
from web.asking import Client, asks, clock

PAGES = (
    "/",
    "/lineup",
    "/money",
    "/tables",
    "/tables/parts",
    "/tables/line",
    "/history",
    "/report",
    "/docs",
    "/docs/topics/money",
    "/docs/editing",
)


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def changing(folder):
    """The pages of a folder that the test changes."""
    return Client(make_app(folder, clock))


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """The pages of a folder that no test changes."""
    folder = tmp_path_factory.mktemp("line") / "flood"
    return Client(make_app(write_folder(real_size(parts=14, boxes=3), folder), clock))


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_served(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    assert "The Sluicekeeper of Nether Wend" in answer.text


@pytest.mark.parametrize("host", ["example.com", "evil.test:8106", "192.168.1.5", ""])
def test_another_host_is_refused(client, host):
    answer = client.get("/", host=host)
    assert answer.status_code == 400
    assert "Sluicekeeper" not in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1:1", "localhost", "localhost:8106"])
def test_this_machine_is_answered(client, host):
    assert client.get("/", host=host).status_code == 200


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_only_read(client, method, path):
    assert client.ask(method.upper(), path).status_code == 403


@pytest.mark.parametrize("path", PAGES)
def test_a_page_may_run_and_style_only_what_this_server_sends(client, path):
    answer = client.get(path)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "unsafe" not in policy
    assert re.findall(r"<script(?![^>]*\bsrc=)[^>]*>", answer.text) == []
    assert re.findall(r"<style|\sstyle=|\son[a-z]+=", answer.text) == []
    assert answer.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("path", PAGES)
def test_a_page_asks_nothing_of_another_machine(client, path):
    targets = re.findall(r'(?:src|href)="([^"]+)"', client.get(path).text)
    assert targets
    assert [target for target in targets if not target.startswith(("/", "#"))] == []


def test_everything_a_page_asks_for_is_there(client):
    targets = {
        target.split("#")[0]
        for path in PAGES
        for target in re.findall(r'(?:src|href)="([^"]+)"', client.get(path).text)
    }
    assert {
        target for target in targets if target and client.get(target).status_code != 200
    } == set()


def test_every_link_leads_to_a_place_on_its_page(client):
    for path in PAGES:
        for target in re.findall(r'href="(/[a-z]*#[^"]+)"', client.get(path).text):
            page, _, anchor = target.partition("#")
            assert f'id="{anchor}"' in client.get(page).text, target


@pytest.mark.parametrize("rest", ["", "/parts", "/parts?parts=200", "/line"])
def test_the_earlier_address_of_the_tables_leads_on(client, rest):
    answer = client.get(f"/sheets{rest}")
    assert (answer.status_code, answer.headers["location"]) == (308, f"/tables{rest}")
    assert client.get(answer.headers["location"]).status_code == 200


@pytest.mark.parametrize(
    "path", ["/assets/../app.py", "/assets/%2e%2e/html.py", "/static/../app.py", "/line.toml"]
)
def test_nothing_beside_pages_and_assets_is_served(client, path):
    assert client.get(path).status_code in {400, 404}


def test_a_change_of_the_folder_is_on_the_next_page(changing, folder):
    assert "420.00" in changing.get("/money").text
    toml = folder / "line.toml"
    before = toml.stat().st_mtime_ns
    toml.write_text(toml.read_text("utf-8").replace('"420 USD"', '"433 USD"'), encoding="utf-8")
    os.utime(toml, ns=(before + 1, before + 1))
    assert "433.00" in changing.get("/money").text


def test_an_unchanged_folder_is_not_read_again(folder, monkeypatch):
    from sixwright.web import watched_folder

    read = watched_folder.read
    reads = []
    monkeypatch.setattr(watched_folder, "read", lambda path: reads.append(path) or read(path))
    client = Client(make_app(folder, clock))
    for path in PAGES:
        client.get(path)
    assert len(reads) == 1


def test_a_new_day_judges_quotes_anew(folder):
    days = [datetime(2026, 8, 30, tzinfo=UTC)]
    client = Client(make_app(folder, lambda: days[-1]))
    assert "ran out" not in client.get("/money").text
    days.append(datetime(2026, 9, 14, tzinfo=UTC))
    assert "ran out" in client.get("/money").text


def test_a_folder_with_errors_shows_every_one_and_comes_back(changing, folder):
    parts = folder / "parts.csv"
    good = parts.read_text("utf-8")
    bad = good.replace("part-00,head", "part-00,hed").replace("part-03,garment", "part-03,cloth")
    parts.write_text(bad, encoding="utf-8")
    for path in PAGES:
        answer = changing.get(path)
        assert answer.status_code == 503
        for word in ("parts.csv", "row 2", "row 5", "column kind", "hed", "cloth", "head"):
            assert word in answer.text, word
    parts.write_text(good, encoding="utf-8")
    assert changing.get("/").status_code == 200


@pytest.mark.parametrize(
    ("name", "begins"),
    [("report.html", b"<!doctype html>"), ("contents.png", b"\x89PNG")],
)
def test_a_file_of_the_report_is_saved_with_the_words_of_the_page(client, name, begins):
    answer = client.get(f"/report/{name}")
    assert answer.status_code == 200
    assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'
    assert answer.content.lstrip().startswith(begins)


def test_a_fault_of_ours_shows_a_sentence_and_no_trace(folder, monkeypatch):
    from sixwright.web import watched_folder

    def broken(*_args, **_kwargs):
        raise RuntimeError("inner words")

    monkeypatch.setattr(watched_folder, "review", broken)
    answer = Client(make_app(folder, clock)).get("/")
    assert answer.status_code == 503
    assert "inner words" not in answer.text
    assert "RuntimeError in sixwright itself" in answer.text


def test_a_fault_in_drawing_shows_a_sentence_and_no_trace(folder, monkeypatch):
    from sixwright.web import open_folder

    def broken(*_args, **_kwargs):
        raise RuntimeError("inner words")

    monkeypatch.setattr(open_folder, "view", broken)
    answer = Client(make_app(folder, clock)).get("/")
    assert answer.status_code == 500
    assert "inner words" not in answer.text
    assert "Something went wrong in sixwright itself" in answer.text


def test_a_day_to_judge_on_stamps_nothing_that_is_written(folder, monkeypatch):
    """`serve --today` judges as of that day; an edit, a reason and a look have the true time."""
    apps = []
    monkeypatch.setattr(uvicorn.Server, "run", lambda server, **_: apps.append(server.config.app))
    run_serve(folder, 0, clock=clock_at("2026-08-30"), who="Ines")
    client = Client(apps[0])
    home = client.get("/").text
    assert "ran out" not in client.get("/money").text
    assert client.edit("orders", "box-0", "quantity", "120", "130").status_code == 200
    finding = asks(home, "accept")[0]
    assert client.post("/accept", **finding, by="Ines", reason="promised").status_code == 200
    edits = history(folder)
    assert [edit.who for edit in edits] == ["Ines", "Ines"]
    stamped = [(folder / name).stat().st_mtime for name in ("orders.csv", "accepted.csv")]
    assert [edit.when.timestamp() for edit in edits] == pytest.approx(stamped, abs=60)
    (accepted,) = read(folder).records["accepted"].values()
    assert accepted.cells["date"] == edits[1].when.date().isoformat()
    assert "Since" not in client.get("/").text


@pytest.mark.parametrize("path", ["/nowhere", "/tables/nothing", "/report/nothing.pdf", "/a/b/c"])
def test_an_address_that_is_no_page_is_said_on_a_page_with_a_way_home(client, path):
    answer = client.get(path)
    assert answer.status_code == 404
    assert '<h1 class="question">There is no such page</h1>' in answer.text
    assert '<a href="/">Go home, to what needs you</a>' in answer.text
    assert "/money" in answer.text
    assert "content-security-policy" in answer.headers
    assert path not in answer.text
