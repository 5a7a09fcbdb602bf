"""Votes, tallies and comments typed in one pass; every fault with its place, all at once."""

import datetime as dt

import pytest

from sixwright.line.voices import Comment, Poll, Tally, Vote
from sixwright.project.voices_rows import (
    COLUMNS,
    COMMENTS,
    MOST_PROBLEMS,
    TALLIES,
    VOTES,
    poll_problems,
    read_comments,
    read_tallies,
    read_votes,
)

POLLS = {
    "heads": Poll("heads", "rate", least=1, most=5),
    "cape": Poll("cape", "choice"),
    "props": Poll("props", "rank"),
    "base": Poll("base", "approve"),
}


def rows(*texts):
    return [(number, text.split(",")) for number, text in enumerate(texts, 2)]


def votes(*texts):
    return read_votes(COLUMNS[VOTES], rows(*texts), POLLS)


def faults(read):
    return [(p.row, p.column, p.expected, p.found) for p in read.problems]


def test_every_kind_of_answer():
    read = votes("a,heads,ann,m1,4,yes,2026-09-01", "b,cape,ann,wool,1,no,", "c,props,ann,x,3,,",
                 "d,base,ann,light,YES,,", "e,base,ann,light,no")  # fmt: skip
    assert read.problems == ()
    assert read.nouns[0] == Vote("a", "heads", "ann", "m1", 4, True, dt.date(2026, 9, 1))
    assert [vote.answer for vote in read.nouns] == [4, 1, 3, 1, 0]
    assert [vote.backer for vote in read.nouns] == [True, False, None, None, None]


@pytest.mark.parametrize(
    ("text", "column", "expected", "found"),
    [
        ("a,heads,ann,m1,6,,", "answer", "a whole number from 1 to 5", "“6”"),
        ("a,heads,ann,m1,4.5,,", "answer", "a whole number from 1 to 5", "“4.5”"),
        ("a,heads,ann,m1,,,", "answer", "a whole number from 1 to 5", "an empty cell"),
        ("a,cape,ann,wool,2,,", "answer", "1", "“2”"),
        ("a,props,ann,x,0,,", "answer", "a rank, 1 or more", "“0”"),
        ("a,base,ann,x,1,,", "answer", "yes or no", "“1”"),
        ("a,nobody,ann,x,1,,", "poll", "the id of a poll", "“nobody”"),
        ("a,,ann,x,1,,", "poll", "the id of a poll", "an empty cell"),
        ("a,heads,,m1,4,,", "voter", "who voted", "an empty cell"),
        ("a,heads,ann,,4,,", "option", "an option, or what was written in", "an empty cell"),
        (",heads,ann,m1,4,,", "id", "an id of any kind", "an empty cell"),
        ("a,heads,ann,m1,4,maybe,", "backer", "yes or no", "“maybe”"),
        ("a,heads,ann,m1,4,,1/9/2026", "date", "a date as 2026-09-14 (year, month, day)",
         "“1/9/2026”"),
        ("a,heads,ann,m1,4,,2026-02-30", "date", "a date as 2026-09-14 (year, month, day)",
         "“2026-02-30”"),
    ],
)  # fmt: skip
def test_a_fault_names_row_column_what_was_expected_and_found(text, column, expected, found):
    read = votes("ok,heads,ann,m1,4,,", text)
    assert faults(read) == [(3, column, expected, found)]
    assert len(read.nouns) == 1


def test_an_id_twice_says_where_it_was_first():
    read = votes("a,heads,ann,m1,4,,", "b,heads,bob,m1,4,,", "a,heads,cy,m1,4,,")
    assert faults(read) == [(4, "id", "each id once; row 2 has it already", "“a”")]


def test_a_write_in_is_no_fault():
    assert votes("a,heads,ann,asleep,4,,").problems == ()


def test_missing_columns_are_said_once_and_columns_may_stand_in_any_order():
    read = read_votes(("poll", "id", "answer"), rows("heads,a,4"), POLLS)
    assert [(p.row, p.column) for p in read.problems] == [(1, "voter"), (1, "option")]
    header = ("date", "own", "answer", "option", "voter", "poll", "id")
    assert read_votes(header, rows("2026-09-01,x,4,m1,ann,heads,a"), POLLS).nouns == (
        Vote("a", "heads", "ann", "m1", 4, None, dt.date(2026, 9, 1)),
    )


def test_of_very_many_faults_the_first_are_listed_and_the_rest_counted():
    read = votes(*(f"a{i},heads,ann,m1,9,," for i in range(250)))
    assert len(read.problems) == MOST_PROBLEMS + 1
    assert read.problems[-1].found == "150 more faults in this file"


def test_tallies_and_votes_of_one_poll_are_an_error_of_reading():
    header = COLUMNS[TALLIES]
    read = read_tallies(header, rows("a,base,light,yes,30,"), POLLS, frozenset())
    assert read.nouns == (Tally("a", "base", "light", 1, 30),)
    read = read_tallies(header, rows("a,base,light,yes,30,"), POLLS, frozenset({"base"}))
    assert faults(read) == [
        (2, "poll", "a poll without votes; this one has some in votes.csv", "“base”")
    ]


@pytest.mark.parametrize("count", ["-1", "1.5", "many", ""])
def test_a_count_is_a_whole_number(count):
    read = read_tallies(COLUMNS[TALLIES], rows(f"a,base,light,yes,{count},"), POLLS, frozenset())
    assert [(p.column, p.expected) for p in read.problems] == [
        ("count", "a whole number, zero or more")
    ]


def test_comments():
    read = read_comments(COLUMNS[COMMENTS], [(2, ("c1", "2026-09-01", "", "", "hi, you", "", ""))])
    assert read.nouns == (Comment("c1", "hi, you", None, dt.date(2026, 9, 1)),)
    read = read_comments(COLUMNS[COMMENTS], rows("c1,,,,,,", "c2,soon,,,x,,"))
    assert [(p.row, p.column) for p in read.problems] == [(2, "text"), (3, "date")]


@pytest.mark.parametrize(
    ("poll", "column", "expected"),
    [
        (Poll("p", "rate"), "least", "a level, as a rating has"),
        (Poll("p", "rate", least=1), "most", "a level, as a rating has"),
        (Poll("p", "rate", least=5, most=5), "most", "a level above 5, the least"),
        (Poll("p", "rate", least=1, most=900), "most", "at most 100 levels above 1"),
        (Poll("p", "choice", opened=dt.date(2026, 9, 2), closed=dt.date(2026, 9, 1)), "closed",
         "a day from 2026-09-02 on, when it opened"),
        (Poll("p", "choice", seats=0), "seats", "1 or more"),
    ],
)  # fmt: skip
def test_a_poll_that_contradicts_itself(poll, column, expected):
    (found,) = poll_problems({"p": poll}, {"p": 7})
    assert (found.file, found.row, found.column, found.expected) == (
        "polls.csv", 7, column, expected,
    )  # fmt: skip
    assert list(poll_problems(POLLS, {})) == []
