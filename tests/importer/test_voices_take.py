"""Votes and comments from other programs' exports: every usual shape, nothing lost, no names."""

import csv
import io
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from sixwright.importer.voices.cells import day_of, entries_of, is_day_first, whole_number
from sixwright.importer.voices.columns import guessed
from sixwright.importer.voices.exports import read_export
from sixwright.importer.voices.people import hashed, key_of, phrase_of, without_names
from sixwright.importer.voices.take import People, taken_comments, taken_votes
from sixwright.kernel.errors import CallError, FolderError, InputError
from sixwright.line.voices import Poll

KEY = bytes(range(16))
HEADS = {"hd-m1": "Level", "hd-m2": "Counting aloud"}
RATED = Poll("heads", "rate", least=1, most=5)
APPROVED = Poll("heads", "approve")


def saved(tmp_path, text, name="export.csv", encoding="utf-8"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    return read_export(path)


def votes(export, poll, *, key=KEY, said=None, day_first=True):
    columns = guessed(export, "votes", options=HEADS, known={}, said=said or {})
    return taken_votes(export, columns, poll, HEADS, People(key), day_first=day_first)


def comments(export, *, key=KEY, said=None):
    columns = guessed(export, "comments", options={}, known={}, said=said or {})
    return taken_comments(export, columns, People(key), where="forum", day_first=True)


def answers(taken):
    return [(row["option"], row["answer"]) for row in taken.rows.values()]


LONG = (
    "User,Option,Rating,Time\nann,hd-m1,5,2026-08-11T10:00:00Z\nbob,Counting aloud,1,12/08/2026\n"
)


def test_one_row_a_voter_and_option(tmp_path):
    taken = votes(saved(tmp_path, LONG), RATED)
    assert answers(taken) == [("hd-m1", "5"), ("hd-m2", "1")]
    first = next(iter(taken.rows.values()))
    assert (first["poll"], first["date"], first["backer"]) == ("heads", "2026-08-11", "")
    assert [row["date"] for row in taken.rows.values()] == ["2026-08-11", "2026-08-12"]


def test_one_row_a_voter_and_a_column_an_option(tmp_path):
    text = ("Timestamp,Email,How much? [Level],How much? [Counting aloud],IP\n"
            "8/14/2026 9:01,ann@home.example,5 - love it,★★☆☆☆,10.0.0.1\n"
            "8/15/2026 9:02,bob@home.example,3,,10.0.0.2\n")  # fmt: skip
    taken = votes(saved(tmp_path, text), RATED)
    assert answers(taken) == [("hd-m1", "5"), ("hd-m2", "2"), ("hd-m1", "3")]
    assert [row["date"] for row in taken.rows.values()] == ["2026-08-14"] * 2 + ["2026-08-15"]
    assert taken.dropped == ("IP",)


def test_several_options_in_one_cell(tmp_path):
    text = "name;vote\nann;Level, Counting aloud\nbob;counting ALOUD\ncy;Level; asleep\n"
    taken = votes(saved(tmp_path, text.replace("Level; asleep", '"Level; asleep"')), APPROVED)
    assert answers(taken) == [("hd-m1", "yes"), ("hd-m2", "yes"), ("hd-m2", "yes"),
                              ("hd-m1", "yes"), ("asleep", "yes")]  # fmt: skip


def test_a_ranking_in_one_cell_is_ranked_by_its_order(tmp_path):
    taken = votes(
        saved(tmp_path, 'name,vote\nann,"Counting aloud, Level"\n'), Poll("heads", "rank")
    )
    assert answers(taken) == [("hd-m2", "1"), ("hd-m1", "2")]


@pytest.mark.parametrize("word", ["yes", "Ja", "OUI", "true", "1", "✓", "да", "はい", "כן"])
def test_yes_in_many_languages(tmp_path, word):
    taken = votes(saved(tmp_path, f"name,Level,backer\nann,{word},{word}\n"), APPROVED)
    assert answers(taken) == [("hd-m1", "yes")]
    assert next(iter(taken.rows.values()))["backer"] == "yes"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_every_usual_encoding_and_separator(tmp_path, encoding, mark):
    text = (
        mark.join(["Kommentar", "Benutzername"]) + "\r\n" + mark.join(["Größe und Zähne", "Jörg"])
    )
    (row,) = comments(saved(tmp_path, text, encoding=encoding)).rows.values()
    assert row["text"] == "Größe und Zähne"


def test_right_to_left_emoji_and_line_breaks_come_through(tmp_path):
    told = ["המשוט קצר מדי", "الأسنان مخيفة 🦷", 'two\nlines, with "quotes"', "=1+1", "太棒了"]
    out = io.StringIO()
    csv.writer(out).writerows([["text"], *([text] for text in told)])
    taken = comments(saved(tmp_path, out.getvalue()))
    assert [row["text"] for row in taken.rows.values()] == told


def test_a_workbook_says_what_its_csv_says(tmp_path):
    book = Workbook()
    for row in csv.reader(io.StringIO(LONG)):
        book.active.append(row)
    book.save(tmp_path / "export.xlsx")
    assert votes(read_export(tmp_path / "export.xlsx"), RATED).rows == (
        votes(saved(tmp_path, LONG), RATED).rows
    )


def test_json_in_any_wrapping_says_what_its_csv_says(tmp_path):
    entries = [{"User": "ann", "Option": "hd-m1", "Rating": 5, "Time": "2026-08-11T10:00:00Z"},
               {"User": "bob", "Option": "Counting aloud", "Rating": 1,
                "Time": 1786492800}]  # fmt: skip
    for whole in (entries, {"meta": {"n": 2}, "data": {"votes": entries}}):
        taken = votes(saved(tmp_path, json.dumps(whole), "export.json"), RATED)
        assert taken.rows == votes(saved(tmp_path, LONG), RATED).rows
    nested = [{"author": {"name": "ann"}, "body": "hello", "tags": ["a", "b"]}]
    taken = comments(saved(tmp_path, json.dumps(nested), "c.json"), said={"author.name": "voter"})
    (row,) = taken.rows.values()
    assert (row["text"], row["voter"]) == ("hello", hashed("ann", KEY))


def test_importing_twice_gives_the_same_ids(tmp_path):
    once, again = (votes(saved(tmp_path, LONG), RATED) for _ in range(2))
    assert once.rows == again.rows
    more = votes(saved(tmp_path, LONG + "cy,hd-m1,4,2026-08-13\n"), RATED)
    assert list(more.rows)[:2] == list(once.rows)


def test_a_row_that_is_there_twice_counts_once_but_strangers_each_count(tmp_path):
    text = "text,name,date\n" + 2 * "+1,ann,2026-08-01\n" + 2 * "+1,,2026-08-01\n"
    taken = comments(saved(tmp_path, text))
    assert (len(taken.rows), taken.repeated) == (3, 1)


def test_an_edited_post_takes_the_place_of_what_it_was(tmp_path):
    first = comments(saved(tmp_path, "id,text\n77,helo\n"))
    second = comments(saved(tmp_path, "id,text\n77,hello\n"))
    assert first.rows.keys() == second.rows.keys()


def test_empty_rows_are_counted_and_said(tmp_path):
    taken = comments(saved(tmp_path, "text,name\n\nhello,ann\n,\n  ,bob\n"))
    assert (len(taken.rows), taken.empty) == (1, 3)


def test_what_cannot_be_read_is_named_and_leaves_the_rest(tmp_path):
    text = ("user,option,rating,date\nann,hd-m1,7,2026-08-01\nbob,hd-m1,4,someday\n"
            "cy,hd-m1,4,\ndi,hd-m1,,\n")  # fmt: skip
    taken = votes(saved(tmp_path, text), RATED)
    assert answers(taken) == [("hd-m1", "4")]
    told = [(p.row, p.column, p.expected, p.found) for p in taken.problems]
    assert told == [(2, "rating", "a whole number from 1 to 5", "“7”"),
                    (3, "date", "a date", "“someday”"),
                    (5, "option", "an answer beside the option", "“hd-m1”")]  # fmt: skip


def test_columns_that_nobody_can_guess_are_asked_for_and_one_word_is_enough(tmp_path):
    export = saved(tmp_path, "Wer,Was\nann,Level\n")
    with pytest.raises(CallError, match=r"voter.*option.*“Wer”, “Was”.*--column NAME=voter"):
        votes(export, APPROVED)
    taken = votes(export, APPROVED, said={"Wer": "voter", "Was": "option"})
    assert answers(taken) == [("hd-m1", "yes")]
    with pytest.raises(CallError, match="no column “Wen”"):
        votes(export, APPROVED, said={"Wen": "voter"})
    with pytest.raises(CallError, match="“who” is nothing that a column means"):
        votes(export, APPROVED, said={"Wer": "who"})


def test_what_was_said_once_is_remembered_by_the_columns(tmp_path):
    one, other = (saved(tmp_path, f"Wer,Was\n{row}\n", name) for row, name in
                  (("ann,Level", "may.csv"), ("bob,Level", "june.csv")))  # fmt: skip
    assert one.signature == other.signature
    known = {"Wer": "voter", "Was": "option"}
    columns = guessed(other, "votes", options=HEADS, known=known, said={})
    assert columns.means == known


def test_two_columns_of_one_name_are_told_apart(tmp_path):
    assert saved(tmp_path, "name,name,\na,b,c\n").header == ("name", "name (2)", "column 3")


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "export.csv", "an empty file"),
        (b"\n\n", "export.csv", "an empty file"),
        (b"PK\x03\x04\x00\x00junk", "export.xlsx", "protected"),
        (b"{broken", "export.json", "JSON that cannot be read"),
        (b"[" * 100_000, "export.json", "JSON that cannot be read"),
        (b"[1, 2]", "export.json", "a list of objects"),
        (b"\x00\x01\x02\x03\x00", "export.csv", "kind of file"),
    ],
)
def test_what_is_no_export_is_refused_in_one_sentence(tmp_path, content, name, said):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(FolderError, match=said):
        read_export(tmp_path / name)


def test_no_name_is_left_and_the_same_person_is_the_same(tmp_path):
    text = ("comment,e-mail\nask @ann_b or mail ann@home.example!,Ann@Home.example\n"
            "second,  ann@home.example \nthird,@ann_b\n")  # fmt: skip
    rows = list(comments(saved(tmp_path, text)).rows.values())
    assert "ann" not in " ".join(value for row in rows for value in row.values())
    assert rows[0]["voter"] == rows[1]["voter"] != rows[2]["voter"]
    assert f"@{rows[2]['voter']}" in rows[0]["text"]
    kept = list(comments(saved(tmp_path, text), key=None).rows.values())
    assert kept[0]["voter"] == "Ann@Home.example"


def test_another_key_makes_other_people_and_a_hash_stays_itself():
    mine, theirs = hashed("ann", KEY), hashed("ann", bytes(16))
    assert mine != theirs
    assert hashed(mine, bytes(16)) == mine
    with pytest.raises(InputError, match="name must be"):
        hashed(" @ ", KEY)


@given(st.binary(min_size=16, max_size=16))
def test_the_key_survives_being_read_out(key):
    said = phrase_of(key)
    assert key_of(said) == key
    assert key_of(said.upper().replace(" ", ", ")) == key
    assert len(said.split()) == 9


def test_a_misread_word_of_the_key_is_noticed():
    words = phrase_of(KEY).split()
    words[0] = "babab" if words[0] != "babab" else "dadad"
    with pytest.raises(InputError, match="misread"):
        key_of(" ".join(words))
    with pytest.raises(InputError, match="9 words"):
        key_of("not a key at all")


def test_text_without_handles_is_left_as_it_is():
    for text in ("4 @ 5 USD", "no names here", "see section@", "@"):
        assert without_names(text, KEY) == text


@pytest.mark.parametrize(
    ("text", "day_first", "day"),
    [
        ("2026-09-14", True, "2026-09-14"), ("2026-09-14 10:11:12+02:00", True, "2026-09-14"),
        ("14.9.2026", True, "2026-09-14"), ("9/14/26", False, "2026-09-14"),
        ("1789344000", True, "2026-09-14"), ("1789344000000", True, "2026-09-14"),
        ("2026-13-01", True, None), ("next week", True, None),
    ],
)  # fmt: skip
def test_days(text, day_first, day):
    found = day_of(text, day_first=day_first)
    assert (found and found.isoformat()) == day


def test_one_date_that_can_be_read_in_one_way_settles_the_column():
    assert is_day_first(["1/2/2026", "13/2/2026"], otherwise=False)
    assert not is_day_first(["1/2/2026", "2/13/2026"], otherwise=True)
    assert is_day_first(["1/2/2026"], otherwise=True)


@pytest.mark.parametrize(
    ("text", "number"),
    [("4", 4), ("4.0", 4), ("4 - like it", 4), ("3rd", 3), ("★★★☆☆", 3), ("⭐⭐", 2),
     ("four", None), ("", None), ("-1", -1), ("9" * 5000, None)],
)  # fmt: skip
def test_levels_and_ranks(text, number):
    assert whole_number(text) == number


def test_a_comma_in_an_options_name_does_not_take_it_apart():
    known = {"level calm": "a", "loud": "b"}
    assert entries_of("Level, calm", known) == ["a"]
    assert entries_of("odd, even", known) == ["odd, even"]
    assert entries_of("loud, odd", known) == ["b", "odd"]
