"""Tables saved by a spreadsheet program of another locale: read whole, or refused once."""

import csv
import re
import shutil
from datetime import date

import pytest

from architecture.reading import ROOT
from sixwright.kernel.errors import FolderError
from sixwright.storage.folder import read

DEMO = ROOT / "examples/sluice-keeper"


def saved_in_germany(tmp_path, *, locale, names="*.csv"):
    """The demo as a German spreadsheet program saves it: semicolons, commas, days first."""
    folder = shutil.copytree(DEMO, tmp_path / "line")
    for path in folder.glob(names):
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = [[turned(cell) for cell in row] for row in csv.reader(file)]
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file, delimiter=";").writerows(rows)
    toml = folder / "line.toml"
    text = toml.read_text(encoding="utf-8").replace('locale = "en-GB"', f'locale = "{locale}"')
    toml.write_text(text, encoding="utf-8")
    return folder


def turned(cell):
    if re.fullmatch(r"[-+]?\d+\.\d+", cell):
        return cell.replace(".", ",")
    found = re.fullmatch(r"(\d{4})-(\d\d)-(\d\d)", cell)
    return f"{found[3]}.{found[2]}.{found[1]}" if found else cell


def test_with_its_locale_the_line_says_the_same(tmp_path):
    theirs = read(saved_in_germany(tmp_path, locale="de-DE")).project
    ours = read(DEMO).project
    assert theirs.ways == ours.ways
    assert theirs.prices == ours.prices
    assert theirs.parts == ours.parts
    assert theirs.sightings == ours.sightings
    assert theirs.voices.votes == ours.voices.votes


def test_without_it_there_is_one_sentence_with_the_line_to_add(tmp_path):
    with pytest.raises(FolderError) as raised:
        read(saved_in_germany(tmp_path, locale="en-GB"))
    (problem,) = raised.value.problems
    said = str(problem)
    assert 'the line locale = "de-DE" in line.toml' in said
    assert "numbers with a decimal point, as the line’s locale en-GB writes them" in said
    assert re.search(r"“[^”]*,\d+” and \d{3,4} more like it in .*parts\.csv", said)


def test_points_under_a_locale_with_commas_are_one_sentence_too(tmp_path):
    with pytest.raises(FolderError) as raised:
        read(saved_in_germany(tmp_path, locale="de-DE", names="ways.csv"))
    (problem,) = raised.value.problems
    assert problem.file == "landmarks.csv"
    assert 'the line locale = "en-GB" in line.toml' in problem.expected


def test_a_slip_of_the_hand_keeps_its_place(tmp_path):
    folder = shutil.copytree(DEMO, tmp_path / "line")
    parts = (folder / "parts.csv").read_text(encoding="utf-8")
    (folder / "parts.csv").write_text(parts.replace(",392,", ',"392,5",', 1), encoding="utf-8")
    with pytest.raises(FolderError) as raised:
        read(folder)
    (problem,) = raised.value.problems
    assert (problem.file, problem.row, problem.column) == ("parts.csv", 2, "mass_g")
    assert problem.expected == "a number (with a decimal point)"


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-03-31", date(2027, 3, 31)),
        ("31.03.2027", date(2027, 3, 31)),
        ("3.4.2027", date(2027, 4, 3)),
        ("31/03/2027", date(2027, 3, 31)),
        ("03/31/2027", date(2027, 3, 31)),
        ("05/05/2027", date(2027, 5, 5)),
    ],
)
def test_a_date_is_read_where_it_has_one_reading(tmp_path, text, day):
    folder = shutil.copytree(DEMO, tmp_path / "line")
    ways = (folder / "ways.csv").read_text(encoding="utf-8").replace("2027-03-31", text, 1)
    (folder / "ways.csv").write_text(ways, encoding="utf-8")
    assert next(iter(read(folder).project.ways.values())).valid_until == day


@pytest.mark.parametrize(
    "text", ["03/04/2027", "3-4-2027", "31/31/2027", "31.13.2027", "30.02.2027"]
)
def test_a_date_of_two_readings_or_none_is_refused(tmp_path, text):
    folder = shutil.copytree(DEMO, tmp_path / "line")
    ways = (folder / "ways.csv").read_text(encoding="utf-8").replace("2027-03-31", text, 1)
    (folder / "ways.csv").write_text(ways, encoding="utf-8")
    with pytest.raises(FolderError) as raised:
        read(folder)
    (problem,) = raised.value.problems
    assert problem.found == f"“{text}”"


def test_many_dates_of_two_readings_are_one_sentence(tmp_path):
    folder = shutil.copytree(DEMO, tmp_path / "line")
    ways = (folder / "ways.csv").read_text(encoding="utf-8").replace("2027-03-31", "03/04/2027")
    (folder / "ways.csv").write_text(ways, encoding="utf-8")
    with pytest.raises(FolderError) as raised:
        read(folder)
    (problem,) = raised.value.problems
    assert problem.expected.startswith("dates as 2027-03-31 (year, month, day)")


def test_numbers_of_toml_have_a_point_whatever_the_locale(tmp_path):
    folder = saved_in_germany(tmp_path, locale="de-DE")
    toml = folder / "line.toml"
    text = toml.read_text(encoding="utf-8")
    assert "0.032" in text
    toml.write_text(text.replace("0.032", "1.125e-2"), encoding="utf-8")
    assert read(folder).records["line"]["line"].cells["money.fees.share"] == "1.125e-2"
