"""The shape of the source: small modules, and the same parts in every topic."""

from pathlib import Path

import pytest

from architecture.reading import ROOT, SRC, committed_files

MOST_LINES = 400
PARTS = {"model.py", "compute.py", "rules.py", "checks.py", "pictures.py", "sources.py"}
TOPICS = sorted(path.parent for path in (SRC / "topics").glob("*/__init__.py"))
BUILT = [topic for topic in TOPICS if len(list(topic.glob("*.py"))) > 1]


def test_no_module_is_longer_than_can_be_read():
    modules = [
        path for path in committed_files() if path.suffix in {".py", ".ts"} and SRC in path.parents
    ]
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for path in modules
    }
    assert len(lengths) > 20, "the source was not found"
    assert {name: lines for name, lines in lengths.items() if lines > MOST_LINES} == {}


def test_topics_are_built():
    assert BUILT


@pytest.mark.parametrize("topic", BUILT, ids=lambda path: path.name)
def test_a_topic_has_its_parts(topic: Path):
    assert PARTS - {path.name for path in topic.glob("*.py")} == set()


def test_the_list_of_topics_is_the_folders_that_are_built():
    from sixwright.workflows.topics import TOPICS as LISTED

    built = {topic.name for topic in BUILT}
    assert {topic.id for topic in LISTED} - {"choices"} == built


def test_a_topic_that_is_listed_has_its_object_and_its_page():
    from sixwright.reports.pages import page_of
    from sixwright.workflows.topics import TOPICS as LISTED

    for topic in LISTED:
        assert callable(page_of(topic.id)), topic.id
        assert {rule.topic for rule in topic.rules} == {topic.id}


def test_names_that_say_nothing_are_not_used():
    empty = {"utils.py", "helpers.py", "manager.py", "data.py", "common.py", "misc.py"}
    used = {path.relative_to(ROOT).as_posix() for path in SRC.rglob("*.py") if path.name in empty}
    assert used == set()
