"""What the server refuses: other hosts, other sites, writes without its token, too long a body.

The rules come from outside: the Fetch standard (Origin, Sec-Fetch-Site), RFC 9110 (Host, 413,
415), and the OWASP cheat sheet on cross-site request forgery (a token that other sites cannot
read, checked beside the origin). From memory.
"""

import asyncio
import json
import threading

import pytest
from fastapi.routing import APIRoute
from httpx import ASGITransport, AsyncClient
from starlette.routing import Mount, Route

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.reports import report_files
from sixwright.reports.pages.prints import FILES
from sixwright.reports.report_files import Files
from sixwright.web.app import make_app
from sixwright.web.guard import MOST_BYTES
from sixwright.web.writes import WRITES
from web.asking import HERE, Client, awaited, clock

EDIT = {"page": "/", "window": "", "table": "orders", "id": "box-0", "column": "quantity",
        "was": "120", "value": "121"}  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def client(folder):
    return Client(make_app(folder, clock))


def contents(folder):
    return {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def routes(app):
    """Every address of the table, with its methods; what is mounted serves files of ours."""
    return [
        (
            route.path.replace("{table}", "parts")
            .replace("{name}", "report.html")
            .replace("{maker}", "maker-0")
            .replace("{page:path}", "limits"),
            method,
        )
        for route in app.routes
        if isinstance(route, Route | APIRoute)
        for method in route.methods
    ]


def test_the_table_has_what_is_known_to_be_there(client):
    table = routes(client.app)
    assert {path for path, method in table if method == "POST"} >= {w.path for w in WRITES}
    assert {("/", "GET"), ("/tables/parts", "GET"), ("/history", "GET")} <= set(table)
    mounted = {route.path for route in client.app.routes if isinstance(route, Mount)}
    assert mounted <= {"/assets", "/assets/docs", "/static"}
    assert {method for _, method in table} <= {"GET", "HEAD", "POST"}


def test_each_route_only_reads_or_is_refused_without_its_token(client, folder):
    before = contents(folder)
    for path, method in routes(client.app):
        if method == "POST":
            for headers in ({}, {"x-sixwright-token": ""}, {"x-sixwright-token": "x" * 43}):
                answer = client.ask("POST", path, body=EDIT, **headers)
                assert answer.status_code == 403, path
                assert answer.json()["kind"] == "token", path
        else:
            asked = f"{path}?table=parts&id=part-00&column=kind" if path == "/options" else path
            # This line has no heads and no stills, so that there is no picture of one.
            expected = 308 if path.startswith("/sheets") else 200
            none = ("/likeness/{", "/pictures/", "/sculptor/{", "/sculpts/{", "/stills/{")
            nothing = path.startswith(none) or path.endswith("/picture")
            expected = 404 if nothing else expected
            assert client.ask(method, asked).status_code == expected, path
        assert contents(folder) == before, path


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://example.com"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": HERE, "sec-fetch-site": "cross-site"},
        {"origin": HERE, "sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site"},
    ],
    ids=str,
)
def test_a_write_from_another_site_is_refused_even_with_the_token(client, folder, headers):
    before = contents(folder)
    whole = {"x-sixwright-token": client.token(), **headers}
    assert client.ask("POST", "/edit", body=EDIT, **whole).status_code == 403
    assert contents(folder) == before


def test_a_write_from_a_page_of_this_server_is_taken(client):
    headers = {"origin": HERE, "sec-fetch-site": "same-origin"}
    whole = {"x-sixwright-token": client.token(), **headers}
    assert client.ask("POST", "/edit", body=EDIT, **whole).status_code == 200


@pytest.mark.parametrize("path", ["/", "/since", "/options?table=parts&id=x&column=kind"])
def test_another_site_cannot_even_ask(client, path):
    assert client.get(path, origin="http://example.com").status_code == 403


def test_every_run_has_a_token_of_its_own(folder):
    tokens = {Client(make_app(folder, clock)).token() for _ in range(3)}
    assert len(tokens) == 3
    assert min(map(len, tokens)) >= 32


def test_a_body_that_is_too_long_is_refused(client, folder):
    before = contents(folder)
    answer = client.edit("orders", "box-0", "quantity", "120", "1" * (MOST_BYTES + 1))
    assert answer.status_code == 413
    assert contents(folder) == before


def test_a_field_that_is_too_long_is_refused(client, folder):
    before = contents(folder)
    assert client.edit("orders", "box-0", "quantity", "120", "1" * 5000).status_code == 422
    assert contents(folder) == before


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_what_a_form_of_another_site_can_send_is_refused(client, kind):
    headers = {"x-sixwright-token": client.token(), "content-type": kind}
    answer = client.ask("POST", "/edit", body=EDIT, **headers)
    assert answer.status_code == 415


@pytest.mark.parametrize(
    "wrong",
    [
        {"table": "../../outside"},
        {"table": "choices", "id": "../../outside"},
        {"table": "choices", "id": "outside", "column": "text", "was": ""},
        {"table": "history", "id": "x"},
        {"table": "orders", "id": "../../outside"},
        {"page": "/../../outside"},
        {"page": "//example.com"},
        {"more": "x"},
    ],
    ids=json.dumps,
)
def test_no_request_reaches_beyond_the_tables(client, folder, wrong):
    outside = folder.parent
    before = contents(outside)
    whole = {"x-sixwright-token": client.token()}
    answer = client.ask("POST", "/edit", body={**EDIT, **wrong}, **whole)
    assert answer.status_code in {404, 409, 422}
    assert contents(outside) == before


@pytest.mark.parametrize(
    "path",
    ["/tables/%2e%2e%2fline.toml", "/tables/nothing", "/tables/accepted.csv",
     "/history/x.jsonl",
        "/report/line.toml", "/orders.csv", "/assets/../../pyproject.toml"],
)  # fmt: skip
def test_no_address_is_a_file_of_the_folder(client, path):
    assert client.get(path).status_code in {400, 404}


def test_a_text_for_a_spreadsheet_never_starts_a_formula(client, folder):
    answer = client.post("/add", table="parts", cells={"kind": "prop", "name": "=1+1"})
    assert answer.status_code == 200
    assert b",=1+1" not in (folder / "parts.csv").read_bytes()


def test_what_was_typed_is_never_markup(client):
    client.post("/add", table="parts", cells={"kind": "prop", "name": "<script>x</script>"})
    for page in ("/", "/lineup", "/tables/parts", "/history"):
        assert "<script>x" not in client.get(page).text


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_another_site_has_nothing_made_and_no_look_kept(client, monkeypatch, site, method):
    looked = []
    monkeypatch.setattr(
        "sixwright.web.watched_folder.WatchedFolder.look", lambda _: looked.append(1)
    )
    monkeypatch.setattr("sixwright.web.open_folder.last_visit", lambda *_: looked.append(1))
    for path, how in routes(client.app):
        if how == "GET":
            answer = client.ask(method, path, **{"sec-fetch-site": site})
            assert answer.status_code == 403, path
    assert looked == []


def test_an_address_that_is_typed_or_a_bookmark_is_answered(client):
    assert client.get("/", **{"sec-fetch-site": "none"}).status_code == 200


def test_the_report_is_made_once_for_all_its_files_until_the_line_changes(client, monkeypatch):
    made = []
    whole = report_files.report_files
    monkeypatch.setattr(
        report_files, "report_files", lambda *a, **k: made.append(1) or whole(*a, **k)
    )
    names = [name for name in FILES if client.get(f"/report/{name}").status_code == 200]
    assert len(names) >= 5
    assert made == [1]
    first = client.get("/report/report.html").text
    assert client.edit("orders", "box-0", "quantity", "120", "121").status_code == 200
    assert client.get("/report/report.html").text != first
    assert made == [1, 1]


def test_many_who_wait_for_a_report_hold_up_no_page(client, monkeypatch):
    wait = threading.Event()
    monkeypatch.setattr(
        report_files, "report_files", lambda *_, **__: wait.wait(20) and Files({}, ())
    )
    client.token()

    async def both():
        transport = ASGITransport(client.app)
        async with AsyncClient(transport=transport, base_url=HERE) as asks:
            reports = [asyncio.create_task(asks.get("/report/report.pdf")) for _ in range(60)]
            await asyncio.sleep(0.2)
            page = await asyncio.wait_for(asks.get("/report"), 10)
            wait.set()
            await asyncio.gather(*reports)
            return page

    assert awaited(both()).status_code == 200


@pytest.mark.parametrize(
    "value",
    ["NaN", "Infinity", "-Infinity", "1e400", "1" * 5000, '"\\ud800"', '"\\u0000"', "null", "[]",
     "[" * 5000, "{}", '"x', "", "true"],
    ids=lambda each: each[:12],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/edit", "/add", "/restore", "/try"])
def test_json_that_is_none_is_refused_and_nothing_is_written(client, folder, path, value):
    before = contents(folder)
    headers = {"x-sixwright-token": client.token(), "content-type": "application/json"}
    for body in (
        value,
        f'{{"page": {value}}}',
        json.dumps(EDIT).replace('"121"', value or '"'),
        json.dumps(EDIT).replace('"orders"', value or '"'),
        f'{{"page": "/", "changes": [{value}], "step": {value}, "moment": {value}}}',
        f'{{"page": "/", "table": "parts", "cells": {{"name": {value}, "kind": "prop"}}}}',
    ):
        answer = client.raw("POST", path, body.encode(), **headers)
        if answer.status_code != 200:
            assert answer.status_code in {404, 409, 422}, (path, body)
            assert answer.json()["said"], (path, body)
            assert contents(folder) == before, (path, body)
    json.loads(client.get("/since").text)
    assert client.get("/history").status_code == 200
    assert client.get("/tables/parts").status_code == 200
