"""A topic that fails is one finding: all else goes on, on every page, in every write and report."""

from dataclasses import replace
from shutil import copytree

import pytest

from architecture.reading import ROOT
from sixwright.kernel.intervals import Verdict
from sixwright.reports.report_files import report_files
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.web.app import make_app
from sixwright.workflows import review as reviewing
from sixwright.workflows.topics import JOINED, TOPICS
from web.asking import Client, clock

TOPIC_IDS = [topic.id for topic in TOPICS]
DEMO = ROOT / "examples/sluice-keeper"


def broken(*_args):
    raise ZeroDivisionError("inner words")


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    return copytree(DEMO, tmp_path_factory.mktemp("line") / "keeper")


def breaking(monkeypatch, topic, step):
    """The list of topics, one of which fails in one of its steps."""

    def with_fault(joined):
        if joined.topic.id != topic:
            return joined
        if step == "join":
            return replace(joined, join=broken)
        return replace(joined, topic=replace(joined.topic, **{step: broken}))

    monkeypatch.setattr(reviewing, "JOINED", tuple(map(with_fault, JOINED)))


@pytest.fixture
def folder(demo, tmp_path):
    return copytree(demo, tmp_path / "keeper")


@pytest.mark.parametrize("topic", TOPIC_IDS)
@pytest.mark.parametrize("step", ["join", "answer", "findings"])
def test_a_topic_that_fails_is_one_finding_and_the_others_are_judged(
    monkeypatch, folder, topic, step
):
    project = read(folder).project
    whole = reviewing.review(project, today=clock().date(), tools=TOOLS)
    breaking(monkeypatch, topic, step)
    found = reviewing.review(project, today=clock().date(), tools=TOOLS)
    (fault,) = [f for f in found.findings if f.id.startswith(f"{topic}.fault:")]
    assert fault.verdict is Verdict.UNCHECKED
    assert fault.doubt.id == "failed"
    assert fault.message.values["kind"] == "ZeroDivisionError"
    assert list(found.verdicts) == list(whole.verdicts)
    resting = {f.topic for f in found.findings if f.rule == "fault"}
    untouched = set(found.verdicts) - resting - {"choices"}
    assert untouched, "every topic rests on this one"
    for other in untouched:
        assert found.verdicts[other] == whole.verdicts[other]


@pytest.mark.parametrize("topic", TOPIC_IDS)
def test_every_page_every_write_and_the_report_go_on(monkeypatch, folder, topic):
    breaking(monkeypatch, topic, "answer")
    client = Client(make_app(folder, clock))
    for path in ("/", *(f"/{each}" for each in TOPIC_IDS), "/tables", "/tables/parts", "/history"):
        answer = client.get(path)
        assert answer.status_code == 200, path
        assert "inner words" not in answer.text
    assert "could not be answered" in client.get(f"/{topic}").text
    written = client.edit("orders", "muster-watch", "quantity", "180", "190", page=f"/{topic}")
    assert (written.status_code, written.json()["kind"]) == (200, "written")
    assert read(folder).records["orders"]["muster-watch"].cells["quantity"] == "190"
    tried = client.post("/try", changes=[], step={"path": "/edit", "body": {
        "table": "orders", "id": "muster-watch", "column": "quantity", "was": "190",
        "value": "200"}})  # fmt: skip
    assert tried.json()["kind"] == "tried"
    review = reviewing.review(read(folder).project, today=clock().date(), tools=TOOLS)
    files = report_files(review, folder="keeper", inputs={})
    assert {"report.html", "report.pdf"} <= set(files.contents)
    assert ("contents.pdf" in files.contents) is (topic != "lineup")
    assert b"could not be answered" in files.contents["report.html"]
