"""What a folder holds and nobody reads is named; what is the producer's own is left alone."""

import csv
import json
import os
import re
from datetime import date

import pytest

from sixwright.kernel.errors import FolderError
from sixwright.kernel.intervals import Verdict
from sixwright.project.records import Change
from sixwright.reports.document import Paragraph
from sixwright.reports.pages.tables import tables
from sixwright.reports.wording.words import say
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.storage.left_aside import stray_files
from sixwright.workflows.review import review
from storage.small_line import START, CountingClock, small_line

PRICES = "way,from_quantity,unit_price\ntin,1,1.20 USD\ntin,500,0.80 USD\n"


@pytest.fixture
def line(tmp_path):
    made = small_line(tmp_path / "line")
    (made / "prices.csv").unlink(missing_ok=True)
    return made


def findings(folder, rule):
    judged = review(folder.project, today=START.date(), only=("lineup",))
    return [one for one in judged.findings if one.id.startswith(f"lineup.{rule}:")]


def said(sentence):
    return say(sentence, "en-GB").replace("\N{NO-BREAK SPACE}", " ")


def strays(line):
    return {one.name: (one.meant, one.is_copy) for one in read(line).project.strays}


@pytest.mark.parametrize(
    "name", ["price.csv", "Price.csv", "pricse.csv", "prices.txt", "prices.xlsx", "quotes 2026.csv"]
)
def test_a_table_under_another_name_is_named(line, name):
    (line / name).write_text(PRICES)
    assert strays(line) == {name: ("prices.csv", False)}
    (found,) = findings(read(line), "stray-file")
    assert found.verdict is Verdict.UNCHECKED
    assert said(found.message) == f"{name} is not read; did you mean prices.csv?"
    assert "prices.csv" in said(found.remedy)


@pytest.mark.parametrize(
    "name",
    [
        "orders (1).csv", "orders (conflicted copy 2026-09-14).csv", "Copy of orders.csv",
        "orders.sync-conflict-20260914-101500-ABC.csv", "orders-old.csv", "orders - Kopie.csv",
    ],
)  # fmt: skip
def test_a_copy_beside_its_table_is_named(line, name):
    (line / name).write_text("sells,quantity,note\ncrossing,9,theirs\n")
    assert strays(line) == {name: ("orders.csv", True)}
    (found,) = findings(read(line), "stray-file")
    assert found.verdict is Verdict.DOUBTFUL
    assert said(found.message) == f"{name} is not read; orders.csv is."


@pytest.mark.parametrize(
    "name",
    [
        "coat (conflicted copy 2026-09-14).toml", "coat.sync-conflict-20260914-101500-ABC.toml",
        "Copy of coat.toml", "coat (1).toml", "coat - Kopie.toml", "coat\n.toml",
    ],
)  # fmt: skip
def test_a_copy_beside_its_choice_is_named_and_takes_nothing_away(line, name):
    """As one of a table; it once took every page and every edit away."""
    (line / "choices" / name).write_bytes((line / "choices/coat.toml").read_bytes())
    assert set(read(line).project.choices) == {"coat"}
    assert strays(line) == {f"choices/{name}": ("choices/coat.toml", True)}
    (found,) = findings(read(line), "stray-file")
    assert found.verdict is Verdict.DOUBTFUL
    write(read(line), [Change("parts", "oar", "note", "", "long")], who="A", clock=CountingClock())


@pytest.mark.parametrize("name", ["Coats.toml", "a coat.toml"])
def test_a_choice_whose_name_is_no_id_and_no_copy_is_refused(line, name):
    (line / "choices/coat.toml").rename(line / "choices" / name)
    with pytest.raises(FolderError, match="named by an id"):
        read(line)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("suppliers.csv", "name,city,phone\nAlder,Ennith,1\n"),
        ("my-orders.csv", "date,shop,what\n1,2,3\n"),
        ("notes.txt", "orders: see the other sheet\n"),
        ("ideas.csv", ""),
        (".orders.csv.swp", "sells,quantity,note\n"),
        ("~$orders.xlsx", "x"),
        ("figures.xlsx", "x"),
    ],
)
def test_a_file_of_the_producers_own_is_left_alone(line, name, text):
    (line / name).write_text(text)
    assert read(line).project.strays == ()


def test_the_producers_own_files_are_named_apart_from_those_meant_to_be_read(line):
    for name in ("colours.csv", "price.csv", "tinker.xlsx", "letter.odt", ".hidden.csv"):
        (line / name).write_text("colour,code\nred,7\n")
    (line / "colours.csv").write_text("colour,code\nred,7\n")
    project = read(line).project
    assert project.own_files == ("colours.csv", "tinker.xlsx")
    page = tables(review(project, today=date(2026, 9, 14)))
    told = [say(each, "en-GB") for block in page.blocks if isinstance(block, Paragraph)
            for each in block.sentences]  # fmt: skip
    assert (
        "colours.csv and tinker.xlsx are no tables of the line: nothing is taken from there."
        in told
    )


def test_a_file_that_is_read_again_is_named_no_more(line):
    (line / "price.csv").write_text(PRICES)
    assert strays(line)
    (line / "price.csv").rename(line / "my-list.txt")
    (line / "my-list.txt").write_text("way\n")
    assert strays(line) == {}


def test_what_is_no_plain_file_is_not_waited_for(line):
    os.mkfifo(line / "price.csv")
    (line / "quotes.csv").symlink_to("/dev/zero")
    assert {one.name for one in stray_files(line, read(line).files)} == {"price.csv"}


def without(line, table, column):
    """The table as a spreadsheet saves it after somebody deleted a column."""
    with (line / table).open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    names = [name for name in rows[0] if name != column]
    with (line / table).open("w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, names, extrasaction="ignore")
        out.writeheader()
        out.writerows(rows)


def edit(line, *changes):
    return write(read(line), changes, who="Mira", clock=CountingClock())


def test_a_column_that_a_table_once_had_is_named_with_what_is_gone(line):
    edit(
        line,
        Change("parts", "oar", "mass_g", value="12"),
        Change("parts", "lantern", "mass_g", value="30"),
    )
    assert read(line).project.lost == ()
    without(line, "parts.csv", "mass_g")
    (found,) = findings(read(line), "lost-column")
    assert found.verdict is Verdict.UNCHECKED
    assert re.fullmatch(
        r"parts\.csv has no column mass_g any more: 2 values that were edited here are gone, the "
        r"last of 14 September 2026\.",
        said(found.message),
    )


def test_a_column_whose_values_were_emptied_or_whose_rows_went_is_not_missed(line):
    edit(line, Change("parts", "oar", "mass_g", value="12"))
    edit(line, Change("parts", "oar", "mass_g", value=""))
    without(line, "parts.csv", "mass_g")
    assert read(line).project.lost == ()


def test_a_column_of_the_producers_own_is_missed_too(line):
    text = (line / "orders.csv").read_text().splitlines()
    (line / "orders.csv").write_text("\n".join([text[0] + ",agent", *(f"{t},x" for t in text[1:])]))
    edit(line, Change("orders", "crossing", "agent", value="Alder"))
    without(line, "orders.csv", "agent")
    (found,) = read(line).project.lost
    assert (found.file, found.column, found.values) == ("orders.csv", "agent", 1)


def test_of_a_history_with_thousands_of_columns_some_are_named(line):
    after = {f"c{at}": "x" for at in range(5000)}
    stated = {
        "table": "orders", "id": "crossing", "column": None, "before": None, "after": after,
        "who": "Otto", "edit": "f" * 16, "when": "2026-09-14T09:00:00+00:00",
    }  # fmt: skip
    (line / "history").mkdir()
    (line / "history" / "otto.jsonl").write_text(json.dumps(stated) + "\n")
    assert len(read(line).project.lost) == 50


def test_a_column_that_is_put_back_is_missed_no_more(line):
    edit(line, Change("parts", "oar", "mass_g", value="12"))
    kept = (line / "parts.csv").read_bytes()
    without(line, "parts.csv", "mass_g")
    assert read(line).project.lost
    edit(line, Change("parts", "oar", "mass_g", value="13"))
    assert read(line).project.lost == ()
    (line / "parts.csv").write_bytes(kept)
    assert read(line).project.lost == ()
