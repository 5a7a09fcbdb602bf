"""Reading a folder: the whole of it, or every error it has with its place."""

import csv
import io
import shutil
from datetime import date
from fractions import Fraction
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from architecture.reading import ROOT
from sixwright.kernel.currency import Money
from sixwright.kernel.errors import FolderError, InputError, Problem
from sixwright.storage.folder import read
from sixwright.storage.tables.csv_text import cell_text, parse_csv

DEMO = ROOT / "examples/sluice-keeper"
# Lines as a producer would have them, and lines that are wrong in one way.
FILES = {
    "line.toml": """
format = 1
id = "ferry"
name = "The Ferry"
scale = "1:6"
currency = "USD"
mine = "kept"

[[looks]]
id = "day"

[[editions]]
id = "plain"
look = "day"
price = "289 USD"
box_mm = [352, 257, 90.5]
public = [{group = "oars", quantity = 2}]

[[rates]]
currency = "CNY"
per_unit = 7.20
""",
    "parts.csv": "id,kind,look,name,fits,way,length_mm,shelf\n"
    "head,head,day,Head,neck-8,head-yard,1 1/2 in,007\n"
    "oar,prop,,,,,,\n",
    "contents.csv": "sells,part,quantity\nplain,head,1\nplain,oar,2\n",
    "orders.csv": "sells,quantity\nplain,300\n",
    "ways.csv": "id,part,maker,currency,tooling,minimum,valid_until\n"
    "head-yard,head,Yard,CNY,12600,300,2027-03-31\n",
    "prices.csv": "way,from_quantity,unit_price\nhead-yard,300,14\nhead-yard,500,11.5\n",
}


@pytest.fixture
def line(tmp_path):
    """Lays the line down, with changed files; None leaves a file out."""

    def lay(**changes):
        shutil.rmtree(tmp_path / "line", ignore_errors=True)
        (tmp_path / "line").mkdir()
        named = {name.replace("_", ".", 1): text for name, text in changes.items()}
        for name, text in (FILES | named).items():
            if text is not None:
                content = text if isinstance(text, bytes) else text.encode("utf-8")
                (tmp_path / "line" / name).write_bytes(content)
        return tmp_path / "line"

    return lay


def problems(path) -> tuple[Problem, ...]:
    with pytest.raises(FolderError) as caught:
        read(path)
    return caught.value.problems


def only(path) -> Problem:
    found = problems(path)
    assert len(found) == 1, found
    return found[0]


def test_a_line_reads_as_it_is_written(line):
    folder = read(line())
    project = folder.project
    assert (project.id, project.currency, project.locale, project.seed) == (
        "ferry", "USD", "en-GB", 0,
    )  # fmt: skip
    edition = project.sells["plain"]
    assert edition.price == Money(Fraction(289), "USD")
    assert edition.box_mm == (Fraction(352), Fraction(257), Fraction("90.5"))
    assert [(a.group, a.quantity) for a in edition.public] == [("oars", 2)]
    assert (edition.name, edition.figures, edition.cap) == ("plain", None, None)
    head = project.parts["head"]
    assert (head.length_mm, head.look, head.fits) == (Fraction("38.1"), "day", ("neck-8",))
    assert project.parts["oar"].look == "all"
    way = project.ways["head-yard"]
    assert (way.tooling, way.yield_share) == (Money(Fraction(12600), "CNY"), 1)
    assert way.valid_until == date(2027, 3, 31)
    assert [price.unit_price.amount for price in project.prices] == [14, Fraction("11.5")]
    assert project.rates["CNY"].per_unit == Fraction("7.2")
    assert project.money.spares is None


def test_yes_and_no_of_toml_are_words(line):
    toml = FILES["line.toml"].replace('mine = "kept"', "mine = true\nyours = false")
    cells = read(line(line_toml=toml)).records["line"]["line"].cells
    assert (cells["mine"], cells["yours"]) == ("yes", "no")


def test_own_keys_and_columns_are_kept_as_text(line):
    records = read(line()).records
    assert records["parts"]["head"].cells["shelf"] == "007"
    assert records["line"]["line"].cells["mine"] == "kept"
    assert records["rates"]["CNY"].cells["per_unit"] == "7.20"
    assert records["prices"]["head-yard/500"].place.row == 3


def test_the_inputs_are_the_digests_of_the_files(line):
    folder = read(line())
    assert set(folder.inputs) == set(FILES)
    for name, digest in folder.inputs.items():
        assert digest == sha256((folder.path / name).read_bytes()).hexdigest()


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("bom", ["", "\ufeff"])
def test_marks_line_ends_and_byte_order_marks_are_all_read(line, mark, end, bom):
    changed = {
        name.replace(".", "_"): bom + text.replace(",", mark).replace("\n", end)
        for name, text in FILES.items()
        if name.endswith(".csv")
    }
    assert read(line(**changed)).project == read_with_records(line(**changed), line())


def read_with_records(path, other):
    """The plain line's project, with the rows that the changed one has."""
    from dataclasses import replace

    records = read(path).records if path.exists() else {}
    return replace(read(other).project, records=records)


def test_a_decimal_comma_follows_the_locale(line):
    german = FILES["line.toml"].replace(
        'currency = "USD"\n', 'currency = "USD"\nlocale = "de-DE"\n', 1
    )
    prices = "way;from_quantity;unit_price\nhead-yard;300;14,25\n"
    project = read(line(line_toml=german, prices_csv=prices)).project
    assert project.prices[0].unit_price.amount == Fraction("14.25")
    assert project.rates["CNY"].per_unit == Fraction("7.2")
    found = only(line(prices_csv=prices))
    assert (found.file, found.row, found.column) == ("prices.csv", 2, "unit_price")
    assert found.found == "“14,25”"


CASES = {
    "unknown id": ("contents_csv", "sells,part,quantity\nplain,haed,1\n",
                   "contents.csv", 2, "part", "the id of a part", "“haed”", "head"),
    "unknown edition": ("orders_csv", "sells,quantity\nplian,1\n",
                        "orders.csv", 2, "sells", "an edition or a set", "“plian”", "plain"),
    "wrong kind": ("parts_csv", FILES["parts.csv"].replace("oar,prop", "oar,porp"),
                   "parts.csv", 3, "kind", "one of head", "“porp”", "prop"),
    "wrong number": ("orders_csv", "sells,quantity\nplain,many\n",
                     "orders.csv", 2, "quantity", "a whole number", "“many”", None),
    "a part of a piece": ("contents_csv", "sells,part,quantity\nplain,head,1.5\n",
                          "contents.csv", 2, "quantity", "a whole number", "“1.5”", None),
    "negative": ("orders_csv", "sells,quantity\nplain,-3\n",
                 "orders.csv", 2, "quantity", "zero or more", "“-3”", None),
    "inch mark": ("parts_csv", FILES["parts.csv"].replace("1 1/2 in", '"5"""'),
                  "parts.csv", 2, "length_mm", "inches written as in “5 in”", '“5"”', None),
    "a yield of nothing": ("ways_csv",
                           FILES["ways.csv"].replace("minimum", "yield").replace("300", "0"),
                           "ways.csv", 2, "yield", "above 0 and at most 1", "“0”", None),
    "no such day": ("ways_csv", FILES["ways.csv"].replace("2027-03-31", "2027-02-30"),
                    "ways.csv", 2, "valid_until", "a day that the calendar", "2027-02-30", None),
    "a day in another order": ("ways_csv", FILES["ways.csv"].replace("2027-03-31", "03/04/2027"),
                               "ways.csv", 2, "valid_until", "a date as 2026", "03/04/2027", None),
    "currency": ("ways_csv", FILES["ways.csv"].replace("CNY", "RMB"),
                 "ways.csv", 2, "currency", "ISO 4217", "“RMB”", None),
    "another currency": ("prices_csv", "way,from_quantity,unit_price\nhead-yard,300,14 USD\n",
                         "prices.csv", 2, "unit_price", "an amount in CNY", "“14 USD”", None),
    "yield": ("ways_csv", FILES["ways.csv"].replace("minimum", "yield").replace("300", "1.2"),
              "ways.csv", 2, "yield", "above 0 and at most 1", "“1.2”", None),
    "twice": ("orders_csv", "sells,quantity\nplain,1\nplain,2\n",
              "orders.csv", 3, None, "each row once, by its", "“plain” again, which row 2", None),
    "id": ("parts_csv", FILES["parts.csv"] + "Oar 2,prop,,,,,,\n",
           "parts.csv", 4, "id", "an id (a lower-case letter", "“Oar 2”", "oar-2"),
    "no id": ("ways_csv", FILES["ways.csv"] + ",head,Yard,CNY,,,\n",
              "ways.csv", 3, None, "an id", "an empty cell", None),
    "too many cells": ("orders_csv", "sells,quantity\nplain,1,2\n",
                       "orders.csv", 2, None, "at most 2 cells", "3 cells", None),
    "a column missing": ("contents_csv", "sells,prat,quantity\nplain,head,1\n",
                         "contents.csv", 1, "part", "the column “part”", "none", "prat"),
    "a column misspelt": ("orders_csv", "sells,quantitty\nplain,1\n",
                          "orders.csv", 1, "quantitty", "a column", "quantitty", "quantity"),
    "a column twice": ("orders_csv", "sells,quantity,quantity\nplain,1,2\n",
                       "orders.csv", 1, "quantity", "each column once", "twice", None),
    "the way of another part": ("parts_csv", FILES["parts.csv"] + "peg,prop,,,,head-yard,,\n",
                                "parts.csv", 4, "way", "a quote of this part",
                                "a quote of head", None),
    "an open quote": ("orders_csv", 'sells,quantity\n"plain,1\n',
                      "orders.csv", None, None, "UTF-8 text", "row 2 and is not closed", None),
    "an inch mark before a name": ("parts_csv",
                                   FILES["parts.csv"] + 'rod,prop,,"12 rod,,,,\nlid,,,4" lid,,,,\n',
                                   "parts.csv", None, None, "UTF-8 text",
                                   "opens in row 4 and does not close at a cell's end", None),
    "latin text": ("orders_csv", b"sells,quantity\nplain,1\ncaf\xe9",
                   "orders.csv", None, None, "UTF-8 text", "0xe9 in line 3", None),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_an_error_says_where_what_was_expected_and_what_was_found(line, case):
    name, text, file, row, column, expected, found, near = CASES[case]
    problem = only(line(**{name: text}))
    assert (problem.file, problem.row, problem.column) == (file, row, column)
    assert expected in problem.expected
    assert found in problem.found
    assert problem.suggestion == near


TOML_CASES = {
    "a key misspelt": ("mine =", "local = 'en-GB'\nmine =", "local", "locale"),
    "a look misspelt": ('look = "day"', 'look = "dya"', "editions[1].look", "day"),
    "a number for a name": ("box_mm = [352, 257, 90.5]", "box_mm = [352]",
                            "editions[1].box_mm", None),
    "a table for a price": ('price = "289 USD"', "price = {a = 1}", "editions[1].price", None),
    "another currency": ('price = "289 USD"', 'price = "289 EUR"', "editions[1].price", None),
    "a rate of nothing": ("per_unit = 7.20", "per_unit = 0", "rates[1].per_unit", None),
    "it extends itself": ('price = "289 USD"', 'extends = "plain"', "editions[1].extends", None),
    "a missing name": ('name = "The Ferry"\n', "", "name", None),
    "not TOML": ('id = "ferry"', "id = ferry", None, None),
    "not a list": ("[[rates]]", "[rates]", "rates", None),
    "a box of no height": ("90.5]", "0]", "editions[1].box_mm", None),
    "a set named as an edition is": ("[[rates]]", "[[sets]]\nid = 'plain'\n[[rates]]",
                                     "sets[1].id", None),
    "ten for ten per cent": ("[[rates]]", "[money]\nduty = 10\n[[rates]]", "money.duty", None),
    "another scale": ('"1:6"', '"6"', "scale", None),
}  # fmt: skip


@pytest.mark.parametrize("case", TOML_CASES)
def test_an_error_of_line_toml_names_its_key(line, case):
    old, new, key, near = TOML_CASES[case]
    assert old in FILES["line.toml"]
    problem = only(line(line_toml=FILES["line.toml"].replace(old, new, 1)))
    assert (problem.file, problem.key, problem.suggestion) == ("line.toml", key, near)


def test_every_error_of_the_folder_comes_in_one_go(line):
    broken = {
        CASES[case][0]: CASES[case][1] for case in ("unknown id", "wrong kind", "yield", "twice")
    }
    toml = FILES["line.toml"].replace('"1:6"', '"6"').replace('look = "day"', 'look = "dya"')
    found = problems(line(line_toml=toml, **broken))
    assert {problem.file for problem in found} == {
        "line.toml", "parts.csv", "contents.csv", "orders.csv", "ways.csv",
    }  # fmt: skip
    assert len(found) == 6


def test_a_file_that_cannot_be_read_does_not_blame_those_that_refer_to_it(line):
    assert only(line(parts_csv=b"\xff")).file == "parts.csv"


@pytest.mark.parametrize("name", ["line.toml", "parts.csv", "contents.csv"])
def test_a_table_that_is_not_there_is_named(line, name):
    found = only(line(**{name.replace(".", "_"): None}))
    assert (found.file, found.found) == (name, "no such file")


def test_a_misnamed_table_is_suggested(line):
    found = only(line(parts_csv=None, part_csv=FILES["parts.csv"]))
    assert found.suggestion == "part.csv"


def test_tables_that_may_be_absent_are(line):
    project = read(line(orders_csv=None, ways_csv=None, prices_csv=None,
                        parts_csv=FILES["parts.csv"].replace("head-yard", ""))).project  # fmt: skip
    assert (project.orders, project.ways, project.prices) == ({}, {}, ())


def test_a_format_that_is_not_known_is_refused_alone(line):
    toml = FILES["line.toml"].replace("format = 1", "format = 2").replace('"1:6"', '"6"')
    found = only(line(line_toml=toml, orders_csv="x\n"))
    assert found.key == "format"
    assert "the only format that this version of sixwright reads" in found.expected


def test_no_folder_is_said(tmp_path):
    assert only(tmp_path / "absent").found == "nothing there"


def test_the_demo_reads_at_its_real_size():
    project = read(DEMO).project
    assert (len(project.parts), len(project.sells), len(project.contents)) == (50, 5, 168)


cells = st.text(alphabet=st.sampled_from('ab,;\t"\n 1é頭'), max_size=6)


@given(rows=st.lists(st.lists(cells, min_size=2, max_size=4), min_size=1, max_size=6),
       mark=st.sampled_from(",;\t"), end=st.sampled_from(["\n", "\r\n"]))  # fmt: skip
@settings(max_examples=300, deadline=None)
def test_records_are_those_of_the_standard_library(rows, mark, end):
    """Python's csv module as the reference; it writes what we read, and reads what we write."""
    known = frozenset({"one", "two"})
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=mark, lineterminator=end).writerows([["one", "two"], *rows])
    ours = parse_csv(out.getvalue().encode(), known)
    assert ours.delimiter == mark
    assert [list(r.cells) for r in ours.records[1:]] == [row for row in rows if any(row)]
    written = end.join(mark.join(cell_text(cell, mark) for cell in row) for row in rows if any(row))
    back = list(csv.reader(io.StringIO(written, newline=""), delimiter=mark))
    assert [row for row in back if any(row)] == [row for row in rows if any(row)]


def test_the_spans_of_records_are_where_they_stand():
    text = parse_csv('\ufeffone,two\r\n\r\n"a\r\nb",2\r\nlast,3'.encode(), frozenset({"one"}))
    assert text.newline == "\r\n"
    assert [(r.number, r.cells) for r in text.records] == [
        (1, ("one", "two")), (3, ("a\r\nb", "2")), (4, ("last", "3")),
    ]  # fmt: skip
    assert [text.text[r.start : r.end] for r in text.records] == [
        "one,two\r\n", '"a\r\nb",2\r\n', "last,3",
    ]  # fmt: skip


def test_ten_thousand_rows_are_read():
    text = "one,two\n" + "".join(f'{n},"a ""b"" {n}"\n' for n in range(10_000))
    assert len(parse_csv(text.encode(), frozenset({"one"})).records) == 10_001


def test_a_quote_inside_a_bare_cell_is_text():
    assert parse_csv(b'one,two\n5",3" wide\n', frozenset()).records[1].cells == ('5"', '3" wide')


def test_an_open_quote_says_its_row():
    with pytest.raises(InputError, match="opens in row 2 and is not closed"):
        parse_csv(b'one,two\n"a,b\n', frozenset())


LIKENESS = {
    "sculpts_csv": "id,part,person,expression,tolerance_mm\nhead-a,head,keeper,,0.25\n",
    "rounds_csv": "id,sculpt,number,date\nhead-a-1,head-a,1,2026-05-04\n",
    "landmarks_csv": "round,landmark,side,x_mm,y_mm,z_mm,sd_mm,how\n"
    "head-a-1,pronasale,mid,0,-5.8,20,0.05,\nhead-a-1,alare,left,2.9,,16,,carried\n",
    "targets_csv": "sculpt,landmark,side,x_mm,y_mm,z_mm,tolerance_mm,reason\n"
    "head-a,pronasale,mid,,,,0.4,soft\nhead-a,scar,left,0.1,0,-0.2,,older\n",
    "terms_csv": "id,name,rigid,contour,sd_mm\nscar,Scar's end,yes,,1.5\n",
    "stills_csv": "id,file,width_px,height_px,person,expression,focal_px,squeeze,mirrored\n"
    "quay,stills/quay.png,1600,1200,keeper,level,,0.75,\n",
    "sightings_csv": "still,landmark,side,x_px,y_px,sd_px,how,state\n"
    "quay,pronasale,mid,811.25,-3,1.5,,seen\nquay,scar,left,,,,,hidden\n",
    "outlines_csv": "still,outline,point,x_px,y_px,sd_px\nquay,jaw,1,700,900.5,\n",
}


def test_the_tables_of_likeness_are_read(line):
    project = read(line(**LIKENESS)).project
    assert project.sculpts["head-a"].tolerance_mm == 0.25
    assert project.sculpts["head-a"].expression == "neutral"
    assert project.rounds["head-a-1"].date == date(2026, 5, 4)
    assert project.placements[0].place_mm == (0.0, -5.8, 20.0)
    assert (project.placements[1].place_mm, project.placements[1].how) == (None, "carried")
    assert project.targets[0].meant_mm is None
    assert project.targets[1].meant_mm == (0.1, 0.0, -0.2)
    assert (project.terms["scar"].rigid, project.terms["scar"].contour) == (True, False)
    still = project.stills["quay"]
    assert (still.width_px, still.squeeze, still.mirrored, still.cropped) == (
        1600,
        0.75,
        None,
        False,
    )
    plain = LIKENESS["stills_csv"].replace("0.75", "")
    assert read(line(**LIKENESS | {"stills_csv": plain})).project.stills["quay"].squeeze == 1.0
    assert project.sightings[0].place_px == (811.25, -3.0)
    assert (project.sightings[1].place_px, project.sightings[1].state) == (None, "hidden")
    assert project.outlines[0].place_px == (700.0, 900.5)


LIKENESS_CASES = {
    "a landmark misspelt": ("sightings_csv", "pronasale", "pronasal", "landmark", "pronasale"),
    "a still that is not there": ("sightings_csv", "quay,pron", "quai,pron", "still", "quay"),
    "no such side": ("landmarks_csv", "alare,left", "alare,lft", "side", "left"),
    "a side that it does not have": ("landmarks_csv", "alare,left", "alare,mid", "side", None),
    "half a place": ("targets_csv", "0.1,0,-0.2", "0.1,,-0.2", "y_mm", None),
    "no spread": ("sightings_csv", "1.5", "0", "sd_px", None),
    "no squeeze": ("stills_csv", "0.75", "0", "squeeze", None),
    "no such state": ("sightings_csv", ",seen", ",sean", "state", "seen"),
}


@pytest.mark.parametrize("case", LIKENESS_CASES)
def test_an_error_of_likeness_names_its_cell(line, case):
    name, old, new, column, near = LIKENESS_CASES[case]
    assert old in LIKENESS[name]
    found = only(line(**LIKENESS | {name: LIKENESS[name].replace(old, new, 1)}))
    assert (found.file, found.column) == (name.replace("_", "."), column)
    assert found.suggestion == near


def test_an_unchanged_table_is_read_once(tmp_path):
    line = shutil.copytree(DEMO, tmp_path / "line")
    first, again = read(line), read(line)
    assert again.records["prices"] is first.records["prices"]
    parts = (line / "parts.csv").read_bytes()
    (line / "parts.csv").write_bytes(parts + b"one-more,prop\n")
    changed = read(line)
    assert set(changed.records["parts"]) - set(first.records["parts"]) == {"one-more"}
    assert changed.records["prices"] is first.records["prices"]


def test_a_table_with_errors_is_told_each_time(tmp_path):
    line = shutil.copytree(DEMO, tmp_path / "line")
    with (line / "prices.csv").open("ab") as file:
        file.write(b"no-such-quote,100,ten\n")
    told = []
    for _ in range(2):
        with pytest.raises(FolderError) as raised:
            read(line)
        told.append(raised.value.problems)
    assert told[0] == told[1] != ()
