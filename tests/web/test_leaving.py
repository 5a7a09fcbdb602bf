"""A text that leaves for HTML, SVG, CSS, print or a spreadsheet is shown, and is never obeyed.

The browser is the outside reader: it is given a line whose every text would fetch, run or break
out where one of them was taken for markup or for a style (faults.md 13).
"""

import csv
import re
import shutil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from architecture.reading import ROOT, python_files
from reports.folders import write_folder
from reports.lines import TODAY, real_size
from sixwright.project.tables import BY_NAME, CellType
from sixwright.reports.leaving import css_string, markup
from sixwright.reports.report_files import report_files
from sixwright.storage.folder import read
from sixwright.workflows.review import review

AWAY = "http://127.0.0.1:9/"
HOSTILE = (
    f"</style></title></textarea>--><script>fetch('{AWAY}s')</script><img src={AWAY}i "
    f"onerror=alert(1)>\"'}}@import url({AWAY}c);*{{background:url({AWAY}b)}}"
)
# No slash can stand in a folder's name, and a browser needs none after "http:".
BROKEN = 'flood\n"}}*{background:url(http:127.0.0.1:9)}\\'


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    """A line whose texts, and whose folder, are all hostile; and its files."""
    made = write_folder(real_size(parts=14, boxes=3), tmp_path_factory.mktemp("line") / "flood")
    text = (made / "line.toml").read_text(encoding="utf-8")
    text = re.sub(r'^name = ".*"$', lambda _: f"name = {_toml(HOSTILE)}", text, flags=re.MULTILINE)
    (made / "line.toml").write_text(text, encoding="utf-8")
    for file in made.glob("*.csv"):
        _poison(file)
    folder = made.with_name(BROKEN)
    shutil.move(made, folder)
    found = read(folder)
    judged = review(found.project, today=TODAY)
    name = folder.name  # as it is; `folder_name` would show its line break as another mark
    return folder, report_files(judged, folder=name, inputs=found.inputs).contents


def _toml(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _poison(file):
    """Each text of a table that is free becomes a hostile one."""
    columns = BY_NAME[file.stem].columns if file.stem in BY_NAME else ()
    free = {column.name for column in columns if column.cell is CellType.TEXT}
    with file.open(newline="", encoding="utf-8") as opened:
        rows = list(csv.DictReader(opened))
    for row in rows:
        row.update(dict.fromkeys(free & set(row), HOSTILE))
    with file.open("w", newline="", encoding="utf-8") as opened:
        writer = csv.DictWriter(opened, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def test_no_text_of_a_folder_is_obeyed_by_a_browser(hostile, new_page, tmp_path):
    _, contents = hostile
    for name in ("report.html", "contents.html"):
        (tmp_path / name).write_bytes(contents[name])
        page, asked = new_page(), []
        page.on("request", lambda request, to=asked: to.append(request.url))
        page.on("dialog", lambda dialog, to=asked: to.append(dialog.message))
        page.goto((tmp_path / name).as_uri())
        page.emulate_media(media="print")
        page.pdf()
        away = [url for url in asked if not url.startswith(("file:", "data:"))]
        assert away == [], name
        assert page.locator("script").count() == 0, name
        assert "onerror=alert(1)" in page.locator("body").inner_text(), "the text is shown"


def test_the_pages_show_what_the_folder_says_and_obey_none_of_it(hostile, new_page, served):
    folder, _ = hostile
    address = served(folder)
    page, asked = new_page(), []
    page.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: asked.append(dialog.message))
    for path in (
        "/",
        "/lineup",
        "/money",
        "/care",
        "/tables",
        "/tables/parts",
        "/history",
        "/makers",
    ):
        page.goto(address + path)
        assert page.locator("script:not([src])").count() == 0, path
        assert page.locator("[onerror]").count() == 0, path
    assert [url for url in asked if not url.startswith((address, "data:"))] == []


@given(st.text())
def test_a_string_of_a_style_sheet_is_the_text_and_nothing_more(text):
    written = css_string(text)
    assert written[0] == written[-1] == '"'
    assert not set(written[1:-1]) & set("\"'<>{};@\n\r\f\0")
    read_back = re.sub(r"\\([0-9a-f]+) ", lambda found: chr(int(found[1], 16)), written[1:-1])
    shown = [mark for mark in text if mark >= " " or mark in "\t\n\r"]
    assert [mark for mark in read_back if mark != "\N{REPLACEMENT CHARACTER}"] == [
        mark for mark in shown if mark not in "\x7f\N{REPLACEMENT CHARACTER}"
    ]


def test_markup_takes_what_is_no_character():
    assert markup("a\ud800\0<b>").encode() == "a?\N{REPLACEMENT CHARACTER}&lt;b&gt;".encode()


def test_only_one_module_escapes_and_only_one_trusts():
    escapes, trusts = set(), set()
    for file in python_files():
        source = file.read_text(encoding="utf-8")
        if re.search(r"^from html import|^import html$", source, re.MULTILINE):
            escapes.add(file.name)
        if re.search(r"\bMarkup\(", source):
            trusts.add(str(file.relative_to(ROOT / "src/sixwright")))
    assert escapes == {"leaving.py"}
    assert trusts == {"reports/html.py"}
    safe = [
        found
        for file in (ROOT / "src").rglob("*.j2")
        for found in re.findall(r"[\w.]+\s*\|\s*safe", file.read_text(encoding="utf-8"))
    ]
    assert set(safe) == {"fonts|safe", "css|safe", "page_foot|safe", "block.html|safe"}
