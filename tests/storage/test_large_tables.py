"""Large tables: read once, as every other table is, and told where they are wrong."""

import pytest

from sixwright.line.voices import Poll
from sixwright.storage.tables.csv_text import parse_csv
from sixwright.storage.tables.large_tables import read_voices

POLLS = {"heads": Poll("heads", "rate", least=1, most=5)}
VOTES = "id,poll,voter,option,answer,backer,date\na,heads,ann,m1,4,yes,2026-09-01\n"


def read(**files):
    named = {f"{name}.csv": text.encode() for name, text in files.items()}
    return read_voices(named, POLLS)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("start", ["", "\ufeff"])
def test_separators_line_ends_and_a_mark_at_the_start(mark, end, start):
    text = start + VOTES.replace(",", mark).replace("\n", end)
    assert read(votes=text).votes == read(votes=VOTES).votes
    assert len(read(votes=text).votes) == 1


def test_rows_are_numbered_as_in_every_other_table():
    text = 'id,text\n\nc1,"two\nlines"\n,,\nc2,\n'
    (problem,) = read(comments=text).problems
    record = parse_csv(text.encode(), frozenset({"id", "text"})).records[-1]
    assert problem.row == record.number == 5


def test_nothing_is_read_twice_and_what_moved_is_read_anew():
    one, again = read(votes=VOTES), read(votes=VOTES)
    assert again is one
    assert read(votes=VOTES.replace(",4,", ",5,")).votes[0].answer == 5
    other = read_voices({"votes.csv": VOTES.encode()}, {"heads": Poll("heads", "rank")})
    assert other is not one


@pytest.mark.parametrize(
    ("content", "found"),
    [(b"", "an empty file"), (b"\xff\xfe\x00a", "as another encoding writes it"),
     (b'id,text\nc1,"never closed', "unexpected end of data")],
)  # fmt: skip
def test_what_is_no_table_is_one_problem(content, found):
    voices = read_voices({"comments.csv": content}, POLLS)
    (problem,) = voices.problems
    assert problem.file == "comments.csv"
    assert found in problem.found
    assert voices.comments == ()


def test_a_line_without_these_tables_has_nothing():
    voices = read()
    assert (voices.votes, voices.tallies, voices.comments, voices.problems) == ((), (), (), ())


def test_both_votes_and_tallies_of_one_poll_are_refused():
    voices = read(votes=VOTES, tallies="id,poll,option,answer,count\nt,heads,m1,4,9\n")
    assert [(p.file, p.row, p.column) for p in voices.problems] == [("tallies.csv", 2, "poll")]
