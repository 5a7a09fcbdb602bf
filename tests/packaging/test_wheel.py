"""The wheel stands alone: it works where there is no Node, no make and no checkout.

The wheel is built and installed without any network. What it depends on is not installed a second
time: a .pth file lends the new environment the packages of the one that runs the tests. A .pth
file adds a plain folder, and .pth files inside that folder are not followed, so the editable
install of the checkout stays out of reach; the first test proves it.
"""

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from architecture.reading import ROOT


def _run(command, *, cwd, environment=None):
    return subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=240,
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    built = _run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", out], cwd=ROOT
    )
    assert built.returncode == 0, built.stdout + built.stderr
    (made,) = out.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def scripts(wheel, tmp_path_factory) -> Path:
    """The folder of commands of an environment that holds the wheel and nothing of the checkout."""
    place = tmp_path_factory.mktemp("away") / "venv"
    made = _run([sys.executable, "-m", "venv", place], cwd=place.parent)
    assert made.returncode == 0, made.stderr
    scripts = place / ("Scripts" if os.name == "nt" else "bin")
    installed = _run(
        [scripts / "python", "-m", "pip", "install", "--isolated",  # from this machine's settings
         "--no-deps", "--no-index", "--disable-pip-version-check", wheel],
        cwd=place.parent,
    )  # fmt: skip
    assert installed.returncode == 0, installed.stdout + installed.stderr
    (packages,) = (path.parent for path in place.rglob("sixwright/__init__.py"))
    lent = sysconfig.get_paths()["purelib"]
    (packages.parent / "lent.pth").write_text(lent + "\n", encoding="utf-8")
    return scripts


@pytest.fixture(scope="module")
def away(scripts, tmp_path_factory):
    """Runs a command of the environment, outside the checkout, with nothing else on the PATH."""
    cwd = tmp_path_factory.mktemp("elsewhere")
    kept = {"SYSTEMROOT", "TEMP", "TMP", "TMPDIR"}
    environment = {name: value for name, value in os.environ.items() if name in kept}
    environment |= {
        "PATH": str(scripts),
        "HOME": str(cwd),
        "USERPROFILE": str(cwd),
        "SIXWRIGHT_CACHE": str(cwd / "cache"),
        "PYTHONUTF8": "1",
    }

    def run(name, *arguments):
        return _run([scripts / name, *arguments], cwd=cwd, environment=environment)

    run.cwd = cwd
    return run


def test_the_wheel_is_what_runs(away, scripts):
    said = away("python", "-c", "import sixwright; print(sixwright.__file__)")
    assert Path(said.stdout.strip()).is_relative_to(scripts.parent), said.stdout + said.stderr


def test_neither_node_nor_make_is_in_reach(away):
    code = "import shutil; print([shutil.which(name) for name in ('node', 'npm', 'make', 'git')])"
    assert away("python", "-c", code).stdout.strip() == "[None, None, None, None]"


def test_the_wheel_holds_what_was_built_and_not_what_it_was_built_from(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    assert "sixwright/web/static/client.js" in names, "run `make client` first"
    fonts = {name for name in names if name.startswith("sixwright/reports/assets/fonts/")}
    assert len([name for name in fonts if name.endswith(".woff2")]) == 10
    assert len([name for name in fonts if name.endswith(".ttf")]) == 6
    assert len([name for name in fonts if name.endswith("-LICENSE.txt")]) == 2
    templates = {name.rpartition("/")[2] for name in names if name.endswith(".typ")}
    assert templates == {"blocks.typ", "report.typ", "sheet.typ"}
    assert "sixwright/reports/assets/sheet.css" in names
    strays = ("node_modules", "/client/src/", "tests/", "package-lock")
    assert [name for name in names if any(stray in name for stray in strays)] == []


def test_the_wheel_holds_the_documentation_of_every_topic(wheel, away):
    names = set(zipfile.ZipFile(wheel).namelist())
    topics = {f"sixwright/docs/topics/{path.name}" for path in (ROOT / "docs/topics").glob("*.md")}
    assert len(topics) > 5
    assert topics - names == set()
    code = """
from datetime import date
from pathlib import Path
import sixwright
from sixwright.importer.new_line import new_line
from sixwright.reports import manual
new_line(Path("documented"), today=date(2026, 9, 14))
line = sixwright.read("documented")
found = sixwright.review(line, today=date(2026, 9, 14), only=("money",))
from sixwright.reports.pages import document
from sixwright.reports.pages.methods import SECTIONS
page = manual.manual_page(found, "topics/money")
print(manual.FOLDER.parts[-2:], "Break-even" in page.blocks[0].html)
answer = next(block for block in document(found, "money").blocks if hasattr(block, "how"))
print(answer.how.topic.removeprefix("docs/") in manual.manual_names())
lost = [section for topic, tables in SECTIONS.items() for _, section in tables
        if f'id="{section}"' not in manual.manual_page(found, f"topics/{topic}").blocks[0].html]
print(lost)
"""
    said = away("python", "-c", code)
    expected = "('sixwright', 'docs') True\nTrue\n[]"
    assert said.stdout.strip() == expected, said.stdout + said.stderr


def test_a_new_line_is_made_checked_and_reported(away):
    made = away("sixwright", "new", "line")
    assert made.returncode == 0, made.stdout + made.stderr
    assert (away.cwd / "line/line.toml").is_file()

    checked = away("sixwright", "check", "line", "--json")
    assert checked.returncode == 0, checked.stdout + checked.stderr
    answer = json.loads(checked.stdout)
    assert answer["errors"] == []
    assert answer["counts"]["fails"] == 0
    assert answer["counts"]["holds"] > 0

    reported = away("sixwright", "report", "line", "--out", "out")
    assert reported.returncode == 0, reported.stdout + reported.stderr
    page = (away.cwd / "out/report.html").read_text(encoding="utf-8")
    assert "What is in each box?" in page
    assert "What must it sell for?" in page
    assert "font/woff2;base64," in page, "the report must carry its fonts"
    for name in ("report.pdf", "contents.pdf"):
        printed = (away.cwd / "out" / name).read_bytes()
        assert printed.startswith(b"%PDF-"), name
        assert b"SourceSerif4" in printed, "the print must carry its fonts"
