"""docs/python.md runs as it stands, and says of every name of the face what it is."""

import inspect
import json
import re
import subprocess
import sys
from contextlib import redirect_stdout
from datetime import date
from io import StringIO

import pytest

import sixwright
from architecture.reading import ROOT
from sixwright import face
from sixwright.cli.check import run_check
from sixwright.importer.new_line import new_line

PAGE = (ROOT / "docs/python.md").read_text(encoding="utf-8")
BLOCKS = re.compile(r"^```python\n(.*?)^```\n^```text\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def test_every_block_prints_what_stands_under_it(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    new_line(tmp_path / "my-line", today=date(2026, 9, 14))
    blocks = BLOCKS.findall(PAGE)
    assert len(blocks) == PAGE.count("```python") > 5
    session: dict[str, object] = {}
    for code, expected in blocks:
        said = StringIO()
        with redirect_stdout(said):
            exec(code, session)  # noqa: S102  the page's own code
        # Sentences join a number and its unit with a space that does not break.
        assert said.getvalue().replace("\N{NO-BREAK SPACE}", " ") == expected, code


def test_every_name_of_the_face_is_on_the_page_and_no_other():
    table = PAGE.split("## Names")[1]
    rows = [row.split("|")[1] for row in table.splitlines() if row.startswith("| `")]
    named = set(re.findall(r"`(\w+)`", " ".join(rows)))
    assert named == set(face.__all__) == set(dir(sixwright))
    assert all(getattr(sixwright, name) is getattr(face, name) for name in named)


@pytest.mark.parametrize("name", ["read", "review", "write", "say", "as_json"])
def test_a_function_of_the_face_says_what_it_is_in_full(name):
    told = inspect.getdoc(getattr(sixwright, name))
    assert told.splitlines()[0].endswith(".")
    sections = {"say": {"Parameters"}, "as_json": {"Parameters", "Source"}}
    expected = sections.get(name, {"Parameters", "Raises", "Source"})
    assert expected <= set(told.splitlines())


def test_another_name_is_refused_as_of_any_module():
    with pytest.raises(AttributeError, match="module 'sixwright' has no attribute 'reed'"):
        sixwright.reed  # noqa: B018  asking for it is the test


def test_importing_the_package_alone_brings_nothing_else_in():
    code = "import sixwright, sys; print([m for m in sys.modules if m.startswith('sixwright')])"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "['sixwright']"


def test_the_face_says_what_the_command_says(tmp_path, capsys):
    new_line(tmp_path / "my-line", today=date(2026, 9, 14))
    run_check(tmp_path / "my-line", (), as_json=True, strict=False, today="2026-09-14")
    folder = sixwright.read(str(tmp_path / "my-line"))
    found = sixwright.review(folder, today=date(2026, 9, 14))
    assert json.loads(capsys.readouterr().out) == json.loads(
        json.dumps(sixwright.as_json(found, folder))
    )


def test_what_is_tried_is_judged_and_not_written(tmp_path):
    new_line(tmp_path / "my-line", today=date(2026, 9, 14))
    folder = sixwright.read(tmp_path / "my-line")
    empty = sixwright.Change("orders", "crossing", "quantity", value="")
    tried = sixwright.review(folder, today=date(2026, 9, 14), changes=[empty], only=["lineup"])
    assert tried.verdict is sixwright.Verdict.UNCHECKED
    assert sixwright.read(tmp_path / "my-line").files == folder.files
    wrong = sixwright.Change("orders", "crosing", "quantity", value="1")
    with pytest.raises(sixwright.ChangeError, match="crosing"):
        sixwright.review(folder, today=date(2026, 9, 14), changes=[wrong])
