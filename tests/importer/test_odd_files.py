"""Files that a producer names, with more in them than a table: refused in a sentence, at once."""

import json
import os

import pytest

from sixwright.importer.grid import read_sheets
from sixwright.importer.voices.exports import read_export
from sixwright.kernel.errors import FolderError
from sixwright.storage.workbooks.cells import MOST_ROWS

HEAD = "id,name,kind,quantity\n"
ODD = {
    "a row of 3,000,000 cells": (HEAD + "," * 3_000_000 + "\n" + "a,b,prop,1\n" * 5000).encode(),
    "a cell of 200,000 letters": (HEAD + 'a,"' + "x" * 200_000 + '",prop,1\n').encode(),
    "a NUL": b"id,name\na\0,b\n",
}


@pytest.mark.parametrize("read", [read_sheets, read_export])
@pytest.mark.parametrize("case", ODD)
def test_more_than_a_table_is_refused(tmp_path, case, read):
    (tmp_path / "odd.csv").write_bytes(ODD[case])
    with pytest.raises(FolderError, match=r"odd\.csv: expected"):
        read(tmp_path / "odd.csv")


def test_rows_beyond_the_limit_are_counted_and_not_held(tmp_path):
    import tracemalloc

    rows = 4 * MOST_ROWS
    (tmp_path / "long.csv").write_bytes(b"Part,Day\n" + b"a,1\n" * (rows - 1))
    tracemalloc.start()
    with pytest.raises(FolderError, match=rf"found {rows} rows and 2 columns"):
        read_sheets(tmp_path / "long.csv")
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 100 * rows  # a row that is held takes some 200 bytes


@pytest.mark.parametrize("read", [read_sheets, read_export])
def test_a_pipe_is_refused_and_nobody_waits(tmp_path, read):
    os.mkfifo(tmp_path / "odd.csv")
    with pytest.raises(FolderError, match="a pipe, not a file"):
        read(tmp_path / "odd.csv")


def test_half_a_character_of_utf16_is_read_as_one_that_was_lost(tmp_path):
    (tmp_path / "odd.csv").write_bytes(b"\xff\xfe" + HEAD.encode("utf-16-le") + b"a")
    (sheet,) = read_sheets(tmp_path / "odd.csv")
    assert sheet.rows[1][0] == "\N{REPLACEMENT CHARACTER}"


def test_halves_of_characters_that_json_says_become_text(tmp_path):
    (tmp_path / "odd.json").write_text('[{"voter\\ud800": "\\ud800", "option": "a"}]')
    export = read_export(tmp_path / "odd.json")
    assert export.header == ("voter?", "option")
    assert export.rows == (("?", "a"),)


def test_objects_that_share_no_names_are_refused(tmp_path):
    entries = [{f"name-{at}": at} for at in range(20_000)]
    (tmp_path / "odd.json").write_text(json.dumps(entries))
    with pytest.raises(FolderError, match="20000 rows and 20000 columns"):
        read_export(tmp_path / "odd.json")
