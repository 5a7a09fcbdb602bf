"""What a finding rests on is a link, and the documentation behind it is served whole."""

import re
from html.parser import HTMLParser
from urllib.parse import unquote

import pytest

from architecture.reading import ROOT
from reports.folders import write_folder
from reports.lines import real_size, reviewed
from reports.test_report import Page
from sixwright.reports.document import Answer, Fold, Items, Sources, Table
from sixwright.reports.html import report_html
from sixwright.reports.manual import manual_list, manual_names, manual_page
from sixwright.reports.pages import documents
from sixwright.reports.pages.methods import SECTIONS
from sixwright.reports.pages.topic import closing
from sixwright.storage.folder import read
from sixwright.web.app import make_app
from sixwright.workflows.review import review
from sixwright.workflows.topics import BY_ID
from web.asking import Client, clock

DOCS = ROOT / "docs"


@pytest.fixture(scope="module")
def judged():
    return reviewed(real_size(parts=14, boxes=3))


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    folder = write_folder(real_size(parts=4, boxes=1), tmp_path_factory.mktemp("line") / "flood")
    return Client(make_app(folder, clock))


def text(html: str) -> str:
    """What a reader reads of some HTML."""
    said: list[str] = []
    reader = HTMLParser()
    reader.handle_data = said.append
    reader.feed(html)
    return " ".join(" ".join(said).split())


def test_every_page_of_the_docs_is_listed(judged):
    listed = manual_list(judged)
    links = {row.cells[0].link.topic for block in listed.blocks[1:] for row in block.rows}
    files = {path.relative_to(DOCS).with_suffix("").as_posix() for path in DOCS.rglob("*.md")}
    assert (
        links == {f"docs/{name}" for name in files} == {f"docs/{name}" for name in manual_names()}
    )


MARKS = re.compile(r"<!--.*?-->|^```\w*$|\]\([^)]*\)|!\[[^]]*|[`*_]", re.MULTILINE)


def words(said: str) -> list[str]:
    """Its words; numbers aside, which a list of Markdown counts for itself."""
    return [word for word in re.findall(r"\w+", said.replace("_", "")) if not word.isdecimal()]


@pytest.mark.parametrize("name", manual_names())
def test_a_page_says_all_that_its_file_says(judged, name):
    """Word by word: Markdown's marks go, nothing else does."""
    markdown = (DOCS / f"{name}.md").read_text(encoding="utf-8")
    shown = manual_page(judged, name)
    html = shown.blocks[0].html
    assert words(f"{shown.title} {text(html)}") == words(MARKS.sub("", markdown))
    assert html.count("<img") == markdown.count("![")


def test_every_link_and_picture_of_the_docs_is_there(client):
    pages = {f"/docs/{name}": Page(client.get(f"/docs/{name}").text) for name in manual_names()}
    lost = set()
    for path, page in pages.items():
        for target in page.refers:
            to, _, place = target.partition("#")
            ours = to.startswith(("/docs", "/assets/docs"))
            if ours and client.get(to).status_code != 200:
                lost.add((path, target))
            if to in pages and place and unquote(place) not in pages[to].ids:
                lost.add((path, target))
    assert lost == set()
    assert "/assets/docs/pictures/editing.png" in pages["/docs/editing"].refers
    assert client.get("/assets/docs/pictures/editing.png").content[:4] == b"\x89PNG"


@pytest.mark.parametrize(
    "path", ["/docs/nothing", "/docs/../pages", "/docs/topics", "/docs/folder.md"]
)
def test_an_address_that_is_no_page_of_the_docs_says_so(client, path):
    assert client.get(path).status_code == 404


def test_what_a_finding_rests_on_leads_to_the_method_on_its_page(judged):
    page = Page(report_html(judged, folder="flood", inputs={}))
    met = 0
    for document in documents(judged):
        for block in document.blocks:
            if isinstance(block, Items) and not block.brief:
                for item in block.items:
                    assert (
                        item.rests_on.words == f"Rests on: {item.finding.source.title.rstrip('.')}."
                    )
                    assert item.rests_on.anchor in page.ids
                    met += 1
    assert met > 5


def test_the_method_leads_to_the_docs_on_a_page_and_not_in_a_report(judged, client):
    folds = [block for block in closing(judged, "money", (), ()) if isinstance(block, Fold)]
    (link,) = folds[-1].blocks[0].links
    assert link.topic == "docs/topics/money"
    assert 'href="/docs/topics/money"' in client.get("/money").text
    assert client.get("/docs/topics/money").status_code == 200
    assert "/docs" not in " ".join(Page(report_html(judged, folder="flood", inputs={})).refers)


def test_every_source_of_a_rule_is_told_on_its_page():
    """On the demo: where a finding leads, there stands what it rests on."""
    found = review(read(ROOT / "examples/sluice-keeper", large=False).project, today=clock().date(),
                   only=("lineup", "money", "care"))  # fmt: skip
    told = {}
    for document in documents(found):
        inner = [b for block in document.blocks if isinstance(block, Fold) for b in block.blocks]
        told[document.topic] = {s.key for b in inner if isinstance(b, Sources) for s in b.sources}
    met = {(finding.topic, finding.source.key) for finding in found.findings}
    assert {(topic, key) for topic, key in met if key not in told[topic]} == set()


def led(blocks):
    """The answers and tables of a page, those in folds too."""
    for block in blocks:
        if isinstance(block, Fold):
            yield from led(block.blocks)
        elif isinstance(block, Answer | Table):
            yield block


def test_an_answer_and_each_table_lead_to_the_section_with_their_formula(judged, client):
    """From a number to its formula in two steps: its link, and what stands there."""
    told = {name: Page(client.get(f"/docs/{name}").text).ids for name in manual_names()}
    demo = review(read(ROOT / "examples/sluice-keeper", large=False).project, today=clock().date(),
                  only=("lineup", "money", "care", "choices", "dates"))  # fmt: skip
    met = 0
    for document in (*documents(judged), *documents(demo)):
        if document.topic not in BY_ID or document.topic not in SECTIONS:
            continue
        for block in led(document.blocks):
            assert block.how is not None, (document.topic, block)
            assert block.how.topic == f"docs/topics/{document.topic}"
            assert block.how.anchor in told[block.how.topic.removeprefix("docs/")], block.how
            met += 1
    assert met > 30


@pytest.mark.parametrize("topic", SECTIONS)
def test_every_section_that_a_table_leads_to_is_there(client, topic):
    """Also those of tables that no line of these tests has."""
    ids = Page(client.get(f"/docs/topics/{topic}").text).ids
    assert {section for _, section in SECTIONS[topic]} <= set(ids)


@pytest.mark.parametrize("topic", BY_ID)
def test_the_method_of_a_topic_names_its_code(topic):
    """From the formula to where it is computed: each file that is named is there."""
    text = (DOCS / f"topics/{topic}.md").read_text("utf-8")
    paragraph = next(part for part in text.split("\n\n") if part.startswith("The code is in "))
    folder, *files = re.findall(r"`([\w/.]+)`", paragraph)
    package = ROOT / "src/sixwright"
    assert (package / folder).is_dir()
    named = [name for name in files if name.endswith(".py")]
    assert len(named) >= 2
    assert [n for n in named if not any((package / folder).rglob(n))] == []
