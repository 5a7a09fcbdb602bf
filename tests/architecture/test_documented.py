"""Every command, page, rule and topic is in the docs, and the docs name nothing else."""

import ast
import re
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from architecture.reading import ROOT, SRC, tree_of

DOCS = ROOT / "docs"
COMMANDS = DOCS / "commands.md"
PAGES = DOCS / "pages.md"
TOPICS = sorted(path.parent for path in (SRC / "topics").glob("*/checks.py"))
README = (ROOT / "README.md").read_text(encoding="utf-8")
RULE = re.compile(r"`(?P<topic>[a-z]+)\.(?P<rule>[a-z][a-z-]*)`")


def _commands() -> dict[str, object]:
    from typer.main import get_command

    from sixwright.cli.main import app

    return dict(get_command(app).commands)


def _documented_commands() -> set[str]:
    return set(re.findall(r"^## `sixwright ([a-z-]+)", COMMANDS.read_text("utf-8"), re.MULTILINE))


def test_the_docs_list_the_commands_that_there_are():
    assert _documented_commands() == set(_commands())


def test_every_command_says_what_it_is_for():
    assert [name for name, command in _commands().items() if not command.help] == []


def test_every_option_is_in_the_docs():
    text = COMMANDS.read_text("utf-8")
    options = {
        option
        for command in _commands().values()
        for parameter in command.params
        for option in parameter.opts
        if option.startswith("--") and option != "--help"
    }
    assert options
    assert {option for option in options if f"`{option}" not in text} == set()


def test_every_page_is_in_the_docs():
    from sixwright.web.app import make_app

    app = make_app(ROOT / "examples/sluice-keeper", lambda: datetime(2026, 9, 14, tzinfo=UTC))
    text = PAGES.read_text("utf-8")
    pages = {
        route.path
        for route in app.routes
        if "GET" in (getattr(route, "methods", None) or ()) and getattr(route, "endpoint", None)
        if not route.path.startswith(("/openapi", "/docs", "/redoc", "/static", "/assets"))
    }
    assert "/" in pages
    assert {page for page in pages if f"`{page}`" not in text} == set()


def test_there_are_rules_to_document():
    assert TOPICS


def _doc(topic: str) -> str:
    return (DOCS / f"topics/{topic}.md").read_text(encoding="utf-8")


def _documented_rules(topic: str) -> set[str]:
    return {found["rule"] for found in RULE.finditer(_doc(topic)) if found["topic"] == topic}


@pytest.mark.parametrize("topic", TOPICS, ids=lambda path: path.name)
def test_a_topic_has_its_doc_with_question_method_limits_and_sources(topic):
    text = _doc(topic.name)
    for part in ("## The question", "## The method", "## Limits", "## Sources", "## Rules"):
        assert part in text, f"docs/topics/{topic.name}.md needs “{part}”"


@pytest.mark.parametrize("topic", TOPICS, ids=lambda path: path.name)
def test_every_rule_in_the_docs_is_judged(topic):
    rules = _documented_rules(topic.name)
    assert rules
    assert rules - _rules_written(topic) == set()


def _rules_written(topic: Path) -> set[str]:
    """Ids of the rules that a topic's module of rules makes: `Rule(TOPIC, "cap", ...)`."""
    return {
        rule
        for node in ast.walk(tree_of(topic / "rules.py"))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Rule"
        for value in node.args[1:2]
        for rule in _constant(value)
    }


def _constant(node: ast.expr) -> set[str]:
    text = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return {node.value} if text else set()


@pytest.mark.parametrize("topic", TOPICS, ids=lambda path: path.name)
def test_every_rule_written_is_in_the_docs(topic):
    assert _rules_written(topic) - _documented_rules(topic.name) == set()


def test_every_rule_that_the_demo_meets_is_in_the_docs():
    from sixwright.storage.cache import TOOLS
    from sixwright.storage.folder import read
    from sixwright.workflows.review import review

    project = read(ROOT / "examples/sluice-keeper").project
    found = review(project, today=date(2026, 9, 14), tools=TOOLS).findings
    met = {(finding.topic, finding.rule) for finding in found}
    assert met
    missing = {f"{topic}.{rule}" for topic, rule in met if rule not in _documented_rules(topic)}
    assert missing == set()


def test_the_readme_points_at_what_there_is():
    targets = re.findall(r"\]\((?!https?:)([^)#]+)", README)
    assert targets
    assert [target for target in targets if not (ROOT / target).exists()] == []


def test_the_readme_names_the_two_commands():
    assert "make demo" in README
    assert "make test" in README


def test_no_two_decisions_have_one_number():
    numbers = [path.name[:4] for path in sorted((DOCS / "decisions").glob("*.md"))]
    assert all(number.isdecimal() for number in numbers)
    assert len(set(numbers)) == len(numbers)


def test_every_table_and_column_is_in_the_docs():
    from sixwright.project.tables import LARGE_TABLES
    from sixwright.project.tables import TABLES as FOLDER_TABLES

    text = (DOCS / "folder.md").read_text(encoding="utf-8")
    files = {table.file for table in FOLDER_TABLES}
    assert {file for file in files if f"`{file}`" not in text} == set()
    columns = {
        (table.name, column.name)
        for table in (*FOLDER_TABLES, *LARGE_TABLES)
        for column in table.columns
    }
    assert len(columns) > 100
    assert {(table, name) for table, name in columns if f"`{name}`" not in text} == set()
