"""Tables that a change leaves alone are not typed anew, and nothing is taken for another."""

import pytest

from architecture.reading import ROOT
from sixwright.kernel.errors import ChangeError, FolderError
from sixwright.project.apply import apply, changed
from sixwright.project.assemble import assemble
from sixwright.project.records import Change
from sixwright.storage.folder import read


@pytest.fixture(scope="module")
def line():
    return read(ROOT / "examples/sluice-keeper", large=False).project


def copied(records):
    """The same rows as other objects, so that nothing that was kept is met."""
    return {name: dict(rows) for name, rows in records.items()}


def change(line, table, column, value):
    return Change(table, next(iter(line.records[table])), column, None, value)


def outcome(records):
    """The line, or why it cannot be read."""
    try:
        return assemble(records)
    except FolderError as error:
        return error.problems


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("editions", "price", "301 USD"),
        ("ways", "currency", "EUR"),  # prices of that way are in it, and stand in another table
        ("sightings", "x_px", "12.5"),
        ("landmarks", "x_mm", "1.25"),
        ("outlines", "x_px", "77"),
        ("line", "currency", "GBP"),  # every bare amount of the line is in it
        ("line", "locale", "de-DE"),  # a comma is then decimal
        ("parts", "name", "Something else"),
    ],
)
def test_a_change_gives_what_reading_all_anew_gives(line, table, column, value):
    rows = changed(line.records, [change(line, table, column, value)])
    anew = outcome(copied(rows)), outcome(copied(line.records))
    assemble(line.records)  # what is kept now is of these very rows
    assert (outcome(rows), outcome(line.records)) == anew


def test_what_a_change_leaves_alone_is_the_same_object(line):
    line = assemble(line.records)
    found = apply(line, [change(line, "editions", "price", "301 USD")])
    assert found.outlines is line.outlines
    assert found.sightings is line.sightings
    moved = apply(line, [change(line, "outlines", "x_px", "77")])
    assert moved.outlines != line.outlines
    assert moved.sightings is line.sightings


def test_what_is_wrong_is_told_each_time(line):
    bad = change(line, "parts", "mass_g", "heavy")
    for _ in range(2):
        with pytest.raises(ChangeError) as met:
            apply(line, [bad])
        assert [problem.column for problem in met.value.problems] == ["mass_g"]
    rows = changed(line.records, [bad])
    for _ in range(2):  # the very same rows
        with pytest.raises(FolderError):
            assemble(rows)


def test_the_rows_that_were_given_stay_as_they_are(line):
    before = copied(line.records)
    apply(line, [change(line, "parts", "name", "x"), change(line, "editions", "price", "1 USD")])
    assert copied(line.records) == before
