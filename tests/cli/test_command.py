"""The command: exit statuses, JSON alone on standard output, errors that can be read."""

import json
import os
import subprocess
import sys

import pytest

from reports.folders import write_folder
from reports.lines import real_size

TODAY = ("--today", "2026-09-14")


def sixwright(*arguments, cwd=None, **environment):
    return subprocess.run(
        [sys.executable, "-m", "sixwright", *map(str, arguments)],
        cwd=cwd,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=120,
    )


@pytest.fixture
def failing(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def fresh(tmp_path):
    made = sixwright("new", tmp_path / "fresh", *TODAY)
    assert made.returncode == 0, made.stderr
    return tmp_path / "fresh"


@pytest.fixture
def broken(failing):
    parts = failing / "parts.csv"
    parts.write_text(parts.read_text("utf-8").replace(",head,", ",hed,"), encoding="utf-8")
    orders = failing / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace(",120", ",many"), encoding="utf-8")
    return failing


def test_a_new_line_fails_nothing(fresh):
    checked = sixwright("check", fresh, *TODAY)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert checked.stderr == ""


def test_a_line_that_fails_says_so_in_its_status(failing):
    checked = sixwright("check", failing, *TODAY)
    assert checked.returncode == 1
    assert "fails:" in checked.stdout


def test_strict_counts_doubt_too(fresh):
    """Two years on, every quote of the new line has run out: doubtful, and nothing fails."""
    later = ("--today", "2028-09-14")
    data = json.loads(sixwright("check", fresh, "--json", *later).stdout)
    assert data["counts"]["fails"] == 0
    assert data["counts"]["doubtful"] > 0
    assert sixwright("check", fresh, *later).returncode == 0
    assert sixwright("check", fresh, "--strict", *later).returncode == 1


def test_json_is_alone_on_standard_output(failing):
    checked = sixwright("check", failing, "--json", *TODAY)
    data = json.loads(checked.stdout)
    assert checked.returncode == 1
    assert checked.stderr == ""
    assert data["verdict"] == "fails"
    assert data["today"] == "2026-09-14"
    assert set(data["inputs"]) >= {"line.toml", "parts.csv", "prices.csv"}
    assert {finding["verdict"] for finding in data["findings"][:1]} == {"fails"}


def test_json_keeps_its_form_when_the_folder_has_errors(broken):
    checked = sixwright("check", broken, "--json", *TODAY)
    data = json.loads(checked.stdout)
    assert checked.returncode == 3
    assert (data["verdict"], data["findings"], data["answers"]) == (None, [], {})
    assert {error["file"] for error in data["errors"]} == {"parts.csv", "orders.csv"}
    assert "hed" in checked.stderr


def test_every_error_of_the_folder_is_told_with_its_place(broken):
    checked = sixwright("check", broken, *TODAY)
    assert checked.returncode == 3
    assert checked.stdout == ""
    for words in (
        "parts.csv, row 2, column kind",
        "hed",
        "orders.csv, row 2, column quantity",
        "many",
    ):
        assert words in checked.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["nonsense"],
        ["check", "--nonsense"],
        ["check", ".", "moneys"],
        ["check", ".", "--today", "tomorrow"],
        ["serve", "nowhere-at-all"],
        ["serve", ".", "--port", "99999999"],
        ["new", "."],
        ["new", "other", "--column", "a=b"],
        ["export", ".", "line.csv"],
        ["import", ".", "absent.xlsx"],
    ],
    ids=" ".join,
)
def test_a_wrong_call_is_told_apart(failing, arguments):
    called = sixwright(*arguments, cwd=failing)
    assert called.returncode == 2, called.stderr
    assert called.stdout == ""
    assert called.stderr.strip()
    assert "Traceback" not in called.stderr


def test_a_folder_that_is_not_there_cannot_be_read(tmp_path):
    assert sixwright("check", tmp_path / "absent").returncode == 3


def test_a_fault_of_ours_is_one_sentence_and_no_trace(failing, tmp_path):
    hook = tmp_path / "sitecustomize.py"
    hook.write_text(
        "import sixwright.workflows.review as r\n"
        "def broken(*a, **k): raise RuntimeError('inner words')\n"
        "r.review = broken\n",
        encoding="utf-8",
    )
    path = os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")])
    called = sixwright("check", failing, PYTHONPATH=path)
    assert called.returncode == 4
    assert "inner words" in called.stderr
    assert "Traceback" not in called.stderr
    debugged = sixwright("check", failing, PYTHONPATH=path, SIXWRIGHT_DEBUG="1")
    assert "Traceback" in debugged.stderr


def test_topics_are_judged_alone_and_in_full(failing):
    checked = sixwright("check", failing, "lineup", *TODAY)
    assert "Pieces in each box" in checked.stdout
    assert "What must it sell for?" not in checked.stdout


def test_the_report_is_five_files_and_two_a_maker(failing, tmp_path):
    made = sixwright("report", failing, "--out", tmp_path / "out", *TODAY)
    assert made.returncode == 1, made.stderr
    names = {"report.html", "report.pdf", "contents.html", "contents.pdf", "contents.png"}
    names |= {f"maker-maker-{number}.{kind}" for number in range(5) for kind in ("pdf", "csv")}
    assert {path.name for path in (tmp_path / "out").iterdir()} == names
    assert all(f"{name}.\n" in made.stderr for name in names)
    assert made.stdout == ""


def test_checking_and_reporting_write_nothing_into_the_folder(failing, tmp_path):
    before = {path: path.read_bytes() for path in failing.rglob("*") if path.is_file()}
    sixwright("check", failing)
    sixwright("report", failing, "--out", tmp_path / "out")
    after = {path: path.read_bytes() for path in failing.rglob("*") if path.is_file()}
    assert after == before


def test_tables_go_out_and_come_back_unchanged(failing, tmp_path):
    book = tmp_path / "line.xlsx"
    assert sixwright("export", failing, book).returncode == 0
    before = {path.name: path.read_bytes() for path in failing.glob("*.*")}
    back = sixwright("import", failing, book)
    assert back.returncode == 0, back.stderr
    assert "nothing was written" in back.stderr
    assert {path.name: path.read_bytes() for path in failing.glob("*.*")} == before


@pytest.mark.parametrize("what", ["a file", "an edit", "a sheet"])
def test_an_export_replaces_nothing_that_the_line_does_not_say(failing, tmp_path, what):
    from openpyxl import load_workbook

    book = tmp_path / "line.xlsx"
    sixwright("export", failing, book)
    if what == "a file":
        book.write_bytes(b"the producer's own")
    else:
        opened = load_workbook(book)
        if what == "an edit":
            opened["orders"].cell(2, 2).value = 333
        else:
            opened.create_sheet("My sums")
        opened.save(book)
    before = book.read_bytes()
    refused = sixwright("export", failing, book)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "holds what the line does not say: import it first" in refused.stderr
    assert book.read_bytes() == before


def test_an_export_replaces_what_an_export_wrote_or_the_line_says_by_now(fresh, tmp_path):
    from openpyxl import load_workbook

    book, orders = tmp_path / "line.xlsx", fresh / "orders.csv"
    sixwright("export", fresh, book)
    orders.write_text(orders.read_text("utf-8").replace("night-crossing,300", "night-crossing,450"))
    assert sixwright("export", fresh, book).returncode == 0, "the line has moved, the book has not"
    opened = load_workbook(book)
    opened["orders"].cell(2, 2).value = 333
    opened.save(book)
    assert sixwright("import", fresh, book).returncode == 0
    assert sixwright("export", fresh, book).returncode == 0, "its edit was taken in"


def test_a_report_replaces_a_report_and_nothing_of_somebody_elses(fresh, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / "contents.pdf").write_bytes(b"the producer's own")
    refused = sixwright("report", fresh, "--out", out, *TODAY)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "holds contents.pdf, which sixwright did not write" in refused.stderr
    assert [path.name for path in out.iterdir()] == ["contents.pdf"]
    (out / "contents.pdf").unlink()
    for _ in range(2):
        assert "Wrote" in sixwright("report", fresh, "--out", out, *TODAY).stderr


def test_an_edit_in_the_workbook_reaches_the_folder(failing, tmp_path):
    from openpyxl import load_workbook

    book = tmp_path / "line.xlsx"
    sixwright("export", failing, book)
    opened = load_workbook(book)
    sheet = opened["orders"]
    assert sheet.cell(2, 1).value == "box-0"
    sheet.cell(2, 2).value = 333
    opened.save(book)
    taken = sixwright("import", failing, book)
    assert taken.returncode == 0, taken.stderr
    assert "box-0,333" in (failing / "orders.csv").read_text("utf-8")


@pytest.fixture
def older(fresh, tmp_path):
    """A workbook of the fresh line, edited, and the line edited since: the folder and the book."""
    from openpyxl import load_workbook

    book = tmp_path / "older.xlsx"
    sixwright("export", fresh, book)
    orders = fresh / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("night-crossing,300", "night-crossing,450"))
    opened = load_workbook(book)
    opened["orders"].cell(2, 2).value = 333
    opened.save(book)
    return fresh, book


def test_an_older_workbook_is_refused_with_what_it_would_put_back(older):
    folder, book = older
    before = (folder / "orders.csv").read_bytes()
    refused = sixwright("import", folder, book)
    assert refused.returncode == 3
    assert refused.stdout == ""
    assert refused.stderr.startswith(
        "Nothing was written. The line has changed since older.xlsx was exported, and the "
        "workbook does not know of it. Taken as it stands, it would change:\n"
    )
    for words in ("Crossing is 300", "would be 333", "Night crossing is 450", "would be 300",
                  "--anyway"):  # fmt: skip
        assert words in refused.stderr
    assert (folder / "orders.csv").read_bytes() == before
    taken = sixwright("import", folder, book, "--anyway")
    assert taken.returncode == 0, taken.stderr
    assert "Night crossing was 450" in taken.stdout
    assert "is now 300" in taken.stdout
    assert taken.stderr.startswith("Took 2 changes from ")
    assert "night-crossing,300" in (folder / "orders.csv").read_text("utf-8")


def test_an_import_lists_twenty_changes_and_counts_the_rest(fresh, tmp_path):
    from openpyxl import load_workbook

    book = tmp_path / "line.xlsx"
    sixwright("export", fresh, book)
    opened = load_workbook(book)
    for name in ("contents", "parts"):
        column = next(cell.column for cell in opened[name][1] if cell.value == "note")
        for row in range(2, opened[name].max_row + 1):
            opened[name].cell(row, column).value = "seen"
    del opened["orders"], opened["prices"]
    opened.save(book)
    taken = sixwright("import", fresh, book)
    assert taken.returncode == 0, taken.stderr
    lines = taken.stdout.splitlines()
    assert len(lines) == 21
    assert lines[-1] == "And 9 more changes."
    assert "line.xlsx has no sheet for orders, prices: they were left as in the folder." in (
        taken.stderr
    )


def test_the_faults_of_a_workbook_are_told_like_those_of_a_folder(fresh, tmp_path):
    from openpyxl import load_workbook

    book = tmp_path / "bad.xlsx"
    sixwright("export", fresh, book)
    opened = load_workbook(book)
    opened["orders"].cell(2, 2).value = "many"
    opened["parts"].cell(2, 2).value = "=1+1"
    opened.save(book)
    refused = sixwright("import", fresh, book)
    assert refused.returncode == 3
    assert refused.stdout == ""
    assert refused.stderr.startswith(
        "The workbook bad.xlsx cannot be taken: 2 places must be put right.\n\n"
        "- bad.xlsx, sheet “parts”, row 2, column kind: expected a value"
    )
    assert "- bad.xlsx, sheet “orders”, row 2, column quantity: expected" in refused.stderr


def test_a_spreadsheet_that_cannot_be_read_is_named_not_a_folder(tmp_path):
    absent = sixwright("new", tmp_path / "line", "--parts", tmp_path / "nofile.csv")
    assert absent.returncode == 3
    assert absent.stderr == (
        "The spreadsheet nofile.csv cannot be read: 1 place must be put right.\n\n"
        "- nofile.csv: expected a spreadsheet as XLSX or CSV, found no such file.\n"
    )
    (tmp_path / "some.xlsx").write_text("id,name")
    assert sixwright("new", tmp_path / "line")
    refused = sixwright("import", tmp_path / "line", tmp_path / "some.xlsx")
    assert refused.stderr.startswith("The spreadsheet some.xlsx cannot be read: 1 place")


def test_words_for_kinds_and_a_kind_for_the_rest_are_taken_together(tmp_path):
    sheet = tmp_path / "teile.csv"
    sheet.write_text("Teil,Art,Solo\nA eins,Kopf,1\nB zwei,Mantel,1\nC drei,,1\n", "utf-8")
    said = ("--column", "Art=kind", "--currency", "eur", "--kind", "Kopf=head", "--kind", "prop")
    made = sixwright("new", tmp_path / "line", "--parts", sheet, *said, "--kind", "Mantel=garment")
    assert made.returncode == 0, made.stderr
    rows = (tmp_path / "line/parts.csv").read_text("utf-8").splitlines()[1:]
    assert [row.split(",")[1] for row in rows] == ["head", "garment", "prop"]
    assert "1 part has the kind prop, because you say so and nothing states another: “C drei”." in (
        made.stdout
    )
    twice = sixwright("new", tmp_path / "other", "--parts", sheet, *said, "--kind", "mask")
    assert twice.returncode == 2
    assert "received “prop” and “mask”" in twice.stderr


def test_the_schema_is_json():
    printed = sixwright("schema")
    assert printed.returncode == 0
    assert json.loads(printed.stdout)["type"] == "object"


def test_no_colour_codes_reach_a_pipe(failing):
    assert "\x1b" not in sixwright("check", failing).stdout


def test_help_imports_nothing_heavy():
    code = (
        "import sys\n"
        "from sixwright.cli.main import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'numpy', 'fastapi', 'uvicorn', 'jinja2', 'babel', 'openpyxl', 'tomlkit'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert ran.stderr.strip() == "[]"


def test_a_check_in_sentences_starts_no_server_and_no_templates(failing):
    code = (
        "import sys\n"
        "from sixwright.cli.main import main\n"
        f"try: main(['check', {str(failing)!r}])\n"
        "except SystemExit: pass\n"
        "heavy = {'numpy', 'fastapi', 'uvicorn', 'jinja2', 'openpyxl', 'rich', 'scipy'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert ran.stderr.strip() == "[]"


def test_votes_of_another_program_are_collected_once(fresh, tmp_path):
    (fresh / "polls.csv").write_text("id,kind\nlooks,approve\n", encoding="utf-8")
    (fresh / "options.csv").write_text("poll,option,name\nlooks,a,Day\n", encoding="utf-8")
    export = tmp_path / "export.csv"
    export.write_text("Email,Vote\nann@home.example,Day\nbob@home.example,Night\n", "utf-8")
    config = {"SIXWRIGHT_CONFIG": str(tmp_path / "config")}
    once = sixwright("collect", fresh, export, "--poll", "looks", **config)
    assert once.returncode == 0, once.stderr
    assert "“Email” was taken for who voted." in once.stdout
    assert "2 votes were taken in from export.csv." in once.stdout
    again = sixwright("collect", fresh, export, "--poll", "looks", **config)
    assert "Nothing new in export.csv; nothing was written." in again.stdout
    phrase = sixwright("voters-key", **config).stdout.splitlines()[0]
    other = sixwright("voters-key", *phrase.split(), SIXWRIGHT_CONFIG=str(tmp_path / "other"))
    assert other.returncode == 0, other.stderr
    wrong = sixwright("voters-key", "babab", **config)
    assert (wrong.returncode, wrong.stdout) == (2, "")
    nowhere = sixwright("collect", fresh, export, **config)
    assert nowhere.returncode == 2
    assert "--poll ID; the line's polls are looks" in nowhere.stderr
    said = sixwright("collect", fresh, export, "--poll", "looks", "--column", "Vote", **config)
    assert said.returncode == 2
