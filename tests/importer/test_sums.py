"""What the rows of a sheet add up to, counted by hand in the sheets below."""

import tomllib
from datetime import date

import pytest

from architecture.reading import ROOT
from importer.sheets import csv_file
from sixwright.importer.guess import guess_parts
from sixwright.importer.new_line import files_of

TINKER = ROOT / "tests/importer/tinker.xlsx"


def said_of(tmp_path, text):
    return guess_parts(csv_file(tmp_path, text), {}, currency="USD").remarks


def test_the_totals_of_the_tinker_are_held_against_its_pieces():
    said = guess_parts(TINKER, {}, currency="USD").remarks
    # Column O holds 79 pieces as numbers and “1 opt” as text; column M has 44 and no other.
    assert (
        "Row 78 states 79 pieces in “Long Day”; the rows read add up to 80; “1 opt” in row 18, as "
        "text, is in no sum of the spreadsheet."
    ) in said
    assert not any("“Day”;" in each and "states" in each for each in said)


def test_the_open_cells_of_the_tinker_are_counted_and_placed():
    said = guess_parts(TINKER, {}, currency="USD").remarks
    assert (
        "6 cells say “TBD” or “?” and stay unknown: row 9, “300”, “500”, “1000” and “Tooling”; "
        "row 45, “Night”; row 68, “Quote till”."
    ) in said


def test_the_pieces_of_the_tinker_that_may_be_left_out_are_told():
    said = guess_parts(TINKER, {}, currency="USD").remarks
    assert (
        "2 cells are read as pieces that may be left out: row 18, “1 opt” in “Long Day” and “Long "
        "Nigth”."
    ) in said


def test_what_is_no_day_is_said_to_be_none():
    said = guess_parts(TINKER, {}, currency="USD").remarks
    assert (
        "Column “Quote till”, rows 9, 37: kept in the note, because it is not a single day (a day "
        "is written as 2027-03-31)."
    ) in said


def test_figures_are_counted_by_bodies_and_said():
    guess = guess_parts(TINKER, {}, currency="USD")
    assert guess.tables.figures == {"day": "1", "night": "1", "long-day": "1", "long-nigth": "1",
                                    "both-lanes": "2", "head-pack": "0"}  # fmt: skip
    assert (
        "The figures in each box are counted by its bodies: 1 in “Day”, “Night”, “Long Day” and "
        "“Long Nigth”; 2 in “Both Lanes”; none in “Head Pack”."
    ) in guess.remarks
    toml = tomllib.loads(files_of(guess, line="x", today=date(2026, 11, 28))["line.toml"])
    assert [box["figures"] for box in toml["editions"]] == [1, 1, 1, 1, 2, 0]


@pytest.mark.parametrize("rows", ["Head,head,1\nBoot,shoe,2\n", "Body,body,?\nHead,head,1\n"])
def test_figures_stay_unknown_without_a_body_or_where_its_pieces_are_unknown(tmp_path, rows):
    guess = guess_parts(csv_file(tmp_path, f"name,kind,A box\n{rows}"), {}, currency="USD")
    assert guess.tables.figures == {}
    assert "figures =" not in files_of(guess, line="x", today=date(2026, 11, 28))[
        "line.toml"
    ].replace("#figures =", "")


def test_a_subtotal_above_other_parts_is_no_total(tmp_path):
    text = "name,kind,A box\nHead,head,1\nSubtotal,,1\nBoot,shoe,2\n"
    assert not any("add up" in each for each in said_of(tmp_path, text))
    assert any("states 4 pieces in “A”; the rows read add up to 3" in each
               for each in said_of(tmp_path, f"{text}Total,,4\n"))  # fmt: skip


def test_a_total_beside_an_open_cell_is_held_against_what_is_known(tmp_path):
    text = "name,kind,A box\nHead,head,1\nBoot,shoe,?\nHand,hand,2\nCap,garment,1\nTotal,,6\n"
    said = said_of(tmp_path, text)
    assert "Row 6 states 6 pieces in “A”; the rows read whose pieces are known add up to 4." in said
    assert "1 cell says “?” and stays unknown: row 3, “A box”." in said


def test_what_stands_above_the_table_of_the_tinker_is_said_to_be_left_out():
    said = guess_parts(TINKER, {}, currency="USD").remarks
    assert (
        "Row 2 says “v7 draft, updated”, “2026-11-12”, “prices ex works”, above the table: a note, "
        "left out."
    ) in said
    # The title of row 1 is the line's name, and those of row 4 head columns.
    assert not [each for each in said if "above the table" in each and "Row 2" not in each]


GERMAN = "Teil;Typ;Menge;Preis (EUR)\nKopf;Kopf;1;17,50\nMantel;Kleidung;1;1.234,50\n"


def test_a_sheet_with_decimal_commas_is_said_to_make_a_line_with_points(tmp_path):
    guess = guess_parts(csv_file(tmp_path, GERMAN), {})
    assert [each for each in guess.remarks if "decimal comma" in each and "de-DE" in each]
    made = files_of(guess, line="l", today=date(2026, 9, 14))
    assert '#locale = "de-DE"' in made["line.toml"].splitlines()
    assert tomllib.loads(made["line.toml"].replace("#locale", "locale"))["locale"] == "de-DE"
    assert "17.5" in made["prices.csv"]
    assert not [each for each in said_of(tmp_path, "Part,Price\nHead,17.50\n") if "comma" in each]


def test_a_german_column_of_types_states_kinds(tmp_path):
    guess = guess_parts(csv_file(tmp_path, GERMAN), {})
    assert {column.name: column.meaning for column in guess.columns}["Typ"] == "kind"
    assert [part["kind"] for part in guess.tables.parts] == ["head", "garment"]
