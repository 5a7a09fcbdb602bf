"""Tables at the prompt: a head is broken between its words, never into letters."""

import pytest

from sixwright.reports.document import Cell, Column, Row, Table
from sixwright.reports.prompt.table import table_lines


@pytest.mark.parametrize("rows", [(), (Row((Cell("1"), Cell("2"))),)], ids=["no row", "short"])
def test_a_head_is_not_broken_into_letters(rows):
    table = Table("t", (Column("Question"), Column("Certification")), rows)
    lines = list(table_lines(table, str, width=80))
    assert lines[0].split() == ["Question", "Certification"]


def test_a_head_of_several_words_is_broken_between_them():
    table = Table("t", (Column("What to fill in"), Column("Rests on it, checks")), ())
    words = " ".join(table_lines(table, str, width=80)).replace("─", " ").split()
    assert set(words) == {"What", "to", "fill", "in", "Rests", "on", "it,", "checks"}
