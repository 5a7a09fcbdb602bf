"""On every page and in the report, each place has a name of its own, and links lead to one."""

import csv
import re
import shutil
from collections import Counter
from urllib.parse import unquote

import pytest

from architecture.reading import ROOT
from reports.test_report import Page
from sixwright.project.tables import TABLES
from sixwright.reports.html import report_html
from sixwright.reports.wording.evidence import anchor
from sixwright.storage.folder import read
from sixwright.storage.tables.large_tables import LARGE
from sixwright.web.app import make_app
from sixwright.workflows.review import review
from sixwright.workflows.topics import TOPICS
from web.asking import Client, clock

MAKERS = {"FA": "華豐工廠", "FB": "永興玩具", "MC": "Müller & Söhne", "LB": "Muller Sohne"}


def rewritten(path, change):
    """A table with each row changed, and rows added."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = [row for before in csv.DictReader(file) for row in change(before)]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)


def with_twin(row):
    """Where a part is the hand `ky`: it is also `watch-hn-ky`, in a box called `muster`."""
    yield row
    if row["id"] == "hn-ky":
        yield row | {"id": "watch-hn-ky", "way": ""}


def in_both(row):
    """`muster/watch-hn-ky` beside `muster-watch/hn-ky`: with a hyphen for the slash, the same."""
    yield row
    if (row["sells"], row["part"]) == ("muster-watch", "hn-ky"):
        yield row | {"sells": "muster", "part": "watch-hn-ky"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo, save its stills: makers named in Chinese, and ids that differ by a slash alone."""
    left = {"stills", "stills.csv", "sightings.csv", "outlines.csv", *LARGE}
    made = tmp_path_factory.mktemp("twins") / "line"
    shutil.copytree(ROOT / "examples/sluice-keeper", made, ignore=shutil.ignore_patterns(*left))
    rewritten(
        made / "ways.csv", lambda row: [row | {"maker": MAKERS.get(row["maker"], row["maker"])}]
    )
    rewritten(made / "parts.csv", with_twin)
    rewritten(made / "contents.csv", in_both)
    line = (made / "line.toml").read_text(encoding="utf-8")
    line = line.replace(
        "[[editions]]", '[[editions]]\nid = "muster"\nlook = "muster"\n\n[[editions]]', 1
    )
    (made / "line.toml").write_text(line, encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def judged(folder):
    return review(read(folder, large=False).project, today=clock().date())


def shared(page):
    return {name: times for name, times in Counter(page.ids).items() if times > 1}


def test_no_two_findings_share_an_anchor(judged):
    places = Counter(anchor(finding) for finding in judged.findings)
    assert {place for place, times in places.items() if times > 1} == set()
    makers = [each.subject.id for each in judged.findings if each.subject.kind == "maker"]
    assert set(MAKERS.values()) <= set(makers)


def test_the_report_has_each_place_once_and_every_link_leads_to_one(judged):
    page = Page(report_html(judged, folder="line", inputs={}))
    assert shared(page) == {}
    assert {to for to in page.refers if to.startswith("#") and to[1:] not in page.ids} == set()


def test_every_page_has_each_place_once_and_every_link_leads_to_one(folder):
    client = Client(make_app(folder, clock))
    paths = ["/", *(f"/{topic.id}" for topic in TOPICS), "/tables", "/report", "/history"]
    paths += [f"/tables/{table.name}" for table in TABLES]
    pages = {path: Page(client.get(path).text) for path in paths}
    assert {path: found for path, page in pages.items() if (found := shared(page))} == {}
    assert {name for page in pages.values() for name in page.ids if re.search(r"\s", name)} == set()
    lost, reached = set(), dict(pages)
    for path, page in pages.items():
        for target in page.refers:
            to, mark, place = target.partition("#")
            to = to.partition("?")[0] or path
            if to not in reached:  # a page of the docs
                reached[to] = Page(client.get(to).text)
            if mark and place not in {unquote(name) for name in reached[to].ids}:
                lost.add((path, target))
    assert lost == set()
    assert {"row-muster_watch-hn-ky", "row-muster-watch_hn-ky"} <= set(
        pages["/tables/contents"].ids
    )
