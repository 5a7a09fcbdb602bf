"""Web and command compute nothing: every number reaches them ready to be shown."""

import ast

import pytest

from architecture.arithmetic import arithmetic_in, arithmetic_in_template
from architecture.reading import ROOT, SRC, place, python_files, tree_of


def test_web_and_command_do_no_arithmetic():
    files = python_files("web", "cli")
    assert len(files) >= 3, "web and cli were not found"
    assert [place(path, node) for path in files for node in arithmetic_in(tree_of(path))] == []


def test_templates_do_no_arithmetic():
    found = [
        f"{path.relative_to(ROOT).as_posix()}:{node.lineno}"
        for path in sorted((SRC / "web/templates").rglob("*.html*"))
        for node in arithmetic_in_template(path.read_text(encoding="utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize(
    "text",
    ["a + b", "1 + 1", "price - cost", "2 * n", "total / n", "n // 2", "n % 2", "n ** 2", "n += 1",
     "total /= 2", "sum(costs)", "round(x, 2)", "import math", "from operator import add",
     "'%d' % n", "cost / path"],
)  # fmt: skip
def test_the_rule_sees_arithmetic(text):
    assert list(arithmetic_in(ast.parse(text)))


@pytest.mark.parametrize(
    "text",
    ["folder / 'line.toml'", "Path(x) / name", "self.out_dir / a / b", "'a' + name", "f'{a}' + b",
     "text += f'{a}'", "', '.join(names) + end", "str | None", "-1", "x < 2", "f'{price}'"],
)  # fmt: skip
def test_the_rule_leaves_paths_and_text_alone(text):
    assert not list(arithmetic_in(ast.parse(text)))


@pytest.mark.parametrize("text", ["{{ a + b }}", "{% if n * 2 > 3 %}{% endif %}", "{{ x|round }}"])
def test_the_rule_sees_arithmetic_in_a_template(text):
    assert list(arithmetic_in_template(text))


def test_the_rule_leaves_joined_text_in_a_template_alone():
    assert not list(arithmetic_in_template("{{ a ~ b }}{% if loop.first %}{{ c|safe }}{% endif %}"))
