"""What a maker is sent: their own parts and quote, and nothing of ours or of another maker."""

import csv
import io
import re
from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest

from reports.paper import bare, reader
from sixwright.reports.html import report_html
from sixwright.reports.pages.makers import file_name
from sixwright.reports.paper.report import report_pdf
from sixwright.reports.sheets.maker_files import MORE, maker_csv, maker_files, maker_pdf
from sixwright.storage.folder import read
from sixwright.topics.money.topic import MONEY
from sixwright.web.app import make_app
from sixwright.workflows.maker_sheets import maker_sheets, unsent
from sixwright.workflows.review import review
from web.asking import Client

TODAY = date(2026, 9, 14)
FIRST, SECOND = "东莞甲", "东莞乙"
LINE = """
format = 1
id = "kiln"
name = "The Kiln Watcher"
scale = "1:6"
currency = "USD"
locale = "en-GB"
seed = 1
[money]
development = "23417.31 USD"
spares = 0.03
overhead = 0.0871
duty = 0.1043
reserve = 0.0337
margin_least = 0.05
surplus_most = "1009.17 USD"
[money.labour]
rate = "86.53 CNY/h"
[money.fees]
share = 0.0329
each = "0.37 USD"
[money.freight]
per_m3 = "213.77 USD"
volume_factor = 1.2
each = "1.29 USD"
[[rates]]
currency = "CNY"
per_unit = 7.1937
[[looks]]
id = "ash"
name = "Ash"
[[editions]]
id = "first"
look = "ash"
name = "First Firing"
price = "731.37 USD"
assembly_minutes = 31
box_mm = [352, 257, 90]
figures = 1
"""
PARTS = """id,kind,look,name,way,hazards,note
head,head,all,"Head, calm",head-a,none,secret of the head
peg,joint,all,Wrist peg,peg-a,small-part,
tongs,prop,all,=Tongs,tongs-a,,
apron,garment,all,Apron,apron-b,sharp,
boot,shoe,all,Boot,boot-b,none,
lamp,light,all,Lamp,lamp-none,,
poker,prop,all,Poker,,,
rake,prop,all,Rake,rake-c,,
"""
CONTENTS = """sells,part,quantity
first,head,1
first,peg,4
first,tongs,1
first,apron,1
first,boot,2
first,lamp,1
first,poker,
"""
WAYS = f"""id,part,maker,process,currency,tool,tooling,minimum,valid_until,note,minutes
head-a,head,{FIRST},rotocast,CNY,,12811.43,300,2027-03-31,too dear,3
head-b,head,{SECOND},injected,CNY,,9923.71,300,2027-03-31,,3
peg-a,peg,{FIRST},acetal,CNY,duo,3119.57,100,2026-09-01,,3
tongs-a,tongs,{FIRST},steel,CNY,duo,2917.53,100,2027-03-31,,3
apron-b,apron,{SECOND},"sewn, waxed",CNY,,~911.83,100,,,3
boot-b,boot,{SECOND},soft PVC,CNY,,19517.19,,2027-03-31,,3
lamp-none,lamp,,,CNY,,0,1,2027-03-31,,3
rake-c,rake,Carver & Sons,wood,CNY,,0,1,2027-03-31,,3
"""
PRICES = """way,from_quantity,unit_price
head-a,500,12.87
head-a,300,14.93
head-b,300,13.59
peg-a,1,0.5131
peg-a,1000,0.4117
tongs-a,1,6.4729
tongs-a,1000,6.1383
apron-b,100,~41.77
boot-b,100,9.6173
lamp-none,1,5
rake-c,1,5
"""


@pytest.fixture
def folder(tmp_path):
    """A line whose amounts are all odd, of 200 boxes."""
    made = tmp_path / "kiln"
    made.mkdir()
    tables = {"parts": PARTS, "contents": CONTENTS, "ways": WAYS, "prices": PRICES,
              "orders": "sells,quantity\nfirst,200\n"}  # fmt: skip
    (made / "line.toml").write_text(LINE, encoding="utf-8")
    for name, text in tables.items():
        (made / f"{name}.csv").write_text(text, encoding="utf-8")
    return made


def complete(folder):
    """The same line with everything known, so that its profit is."""
    for name, was, now in (
        ("contents", "first,poker,", "first,rake,1"),
        ("ways", "19517.19,,", "19517.19,100,"),
        ("ways", "lamp-none,lamp,,", "lamp-none,lamp,Carver & Sons,"),
        ("ways", "~911.83", "911.83"),
        ("prices", "~41.77", "41.77"),
    ):
        file = folder / f"{name}.csv"
        text = file.read_text("utf-8")
        assert was in text
        file.write_text(text.replace(was, now), encoding="utf-8")


@pytest.fixture
def judged(folder):
    return review(read(folder).project, today=TODAY)


@pytest.fixture
def client(folder):
    return Client(make_app(folder, lambda: datetime(2026, 9, 14, 9, tzinfo=UTC)))


def sheet(judged, maker):
    return next(each for each in maker_sheets(judged) if each.maker == maker)


def rows_of(judged, maker):
    text = maker_csv(judged, sheet(judged, maker)).decode("utf-8-sig")
    return {row["Id"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


def media(judged, client, maker):
    """The sheet as page, print and table; letters in order, without spaces."""
    of = sheet(judged, maker)
    pdf = reader(maker_pdf(judged, of).content)
    return {
        "page": bare(client.get(f"/makers/{of.address}").text),
        "pdf": "".join(bare(page.extract_text()) for page in pdf.pages),
        "csv": bare(maker_csv(judged, of).decode()),
    }


def written(amount: Fraction) -> set[str]:
    """How an amount may be written: to the cent and to four places, grouped and not."""
    made = {f"{float(abs(amount)):{form}}" for form in (".2f", ",.2f", ".4f", ",.4f")}
    return {each for each in made if len(each) >= 4}


def ours(judged) -> set[str]:
    """What a maker must never see: every amount of every box and of the line, and our rules."""
    money = judged.of(MONEY)
    boxes = [each for box in money.sells.values() for each in (box, box.at_least) if each]
    amounts = {
        value
        for box in boxes
        for name in box.__dataclass_fields__
        if isinstance(value := getattr(box, name), Fraction) and value
    }
    amounts |= {a for a in (money.profit, money.cash_asked, money.fixed, money.development) if a}
    amounts |= {part.unit_price for part in money.parts.values() if part.unit_price}
    stated = {"731.37", "23417.31", "23,417.31", "86.53", "0.37", "1.29", "213.77", "7.1937",
              "0.0871", "8.71", "0.1043", "10.43", "3.37", "3.29", "1009.17", "First Firing",
              "secret", "too dear", "Break-even", "margin of", "profit"}  # fmt: skip
    return {bare(each) for each in stated} | {each for a in amounts for each in written(a)}


THEIRS = {
    FIRST: ["12811.43", "14.93", "0.4117", "6.1383", "3119.57"],
    SECOND: ["19517.19", "9.6173"],
}
NOT_THEIRS = {
    # Another maker's, its own rival quote of a part it does not get, and guesses of ours.
    FIRST: ["13.59", "9923.71", "9.6173", "19517.19", "41.77", "911.83", SECOND, "injected"],
    SECOND: ["14.93", "12.87", "12811.43", "13.59", "9923.71", "41.77", "911.83", "52.21",
             "0.4117", "0.5131", "6.1383", "6.4729", "3119.57", FIRST, "rotocast"],
}  # fmt: skip


@pytest.mark.parametrize("maker", [FIRST, SECOND])
def test_a_maker_sees_nothing_of_ours_and_nothing_of_another_in_any_medium(judged, client, maker):
    for medium, text in media(judged, client, maker).items():
        plain = text.replace(",", "")
        secrets = ours(judged) | {bare(each) for each in NOT_THEIRS[maker]}
        found = {each for each in secrets if each in text or each.replace(",", "") in plain}
        assert found == set(), medium
        assert [each for each in THEIRS[maker] if each not in plain] == [], medium


@pytest.mark.parametrize("maker", [FIRST, SECOND, "Carver & Sons"])
def test_nor_where_margin_and_profit_are_known(folder, maker):
    complete(folder)
    judged = review(read(folder).project, today=TODAY)
    assert judged.of(MONEY).profit is not None
    assert judged.of(MONEY).sells["first"].margin is not None
    client = Client(make_app(folder, lambda: datetime(2026, 9, 14, 9, tzinfo=UTC)))
    for medium, text in media(judged, client, maker).items():
        assert {each for each in ours(judged) if each in text} == set(), medium


def test_the_secrets_that_are_looked_for_do_stand_in_the_report_for_the_house(judged):
    text = bare(report_html(judged, folder="kiln", inputs={}))
    assert "731.37" in text
    box = judged.of(MONEY).sells["first"]
    assert box.at_least is not None
    assert any(each in text for each in written(box.at_least.landed))
    assert len(ours(judged)) > 40


def test_two_makers_with_chinese_names_have_two_addresses_and_their_own_parts(judged, client):
    first, second = sheet(judged, FIRST), sheet(judged, SECOND)
    assert first.address != second.address
    assert sheet(judged, "Carver & Sons").address == "carver-sons"
    for of, own, other in ((first, "peg", "boot"), (second, "boot", "peg")):
        page = client.get(f"/makers/{of.address}")
        assert page.status_code == 200
        assert f"For {of.maker}" in page.text
        assert f'id="make-{own}"' in page.text
        assert f'id="make-{other}"' not in page.text


def test_quantities_are_those_of_the_boxes_with_spares_and_no_fewer_than_the_minimum(judged):
    """By hand: 200 boxes and 3 % spares are 206; a minimum of 300 is above it; 4 pegs are 824.

    The pegs and tongs share a tool, so their 824 + 206 pieces reach the break at 1,000.
    """
    rows = rows_of(judged, FIRST)
    assert {id_: row["To order"] for id_, row in rows.items()} == {
        "head": "300", "peg": "824", "tongs": "206"
    }  # fmt: skip
    prices = {id_: (row["Quoted, a piece"], row["From"]) for id_, row in rows.items()}
    assert prices == {
        "head": ("14.93", "300"), "peg": ("0.4117", "1000"), "tongs": ("6.1383", "1000")
    }  # fmt: skip


def test_the_tooling_of_a_shared_tool_stands_once_and_is_the_dearest_stated(judged):
    rows = rows_of(judged, FIRST)
    assert [rows[part]["Tooling"] for part in ("head", "peg", "tongs")] == [
        "12811.43", "3119.57", ""
    ]  # fmt: skip
    assert (rows["peg"]["Tool"], rows["tongs"]["Tool"], rows["head"]["Tool"]) == ("duo", "duo", "")


def test_what_is_open_is_said_and_what_is_settled_is_not(judged):
    first, second = rows_of(judged, FIRST), rows_of(judged, SECOND)
    assert first["head"]["What is open"] == ""
    assert first["peg"]["What is open"] == "The quote ran out on 1 September 2026."
    assert "What of it can hurt is not stated." in first["tongs"]["What is open"]
    apron = second["apron"]["What is open"]
    for words in ("A price is not quoted.", "The tooling is not quoted.",
                  "The quote has no last day."):  # fmt: skip
        assert words in apron
    boot = second["boot"]
    assert boot["To order"] == ""
    assert "How many to order is not known yet." in boot["What is open"]
    assert "The smallest order is not stated." in boot["What is open"]


def test_hazards_are_told_with_their_caution_where_they_are_stated(judged, client):
    text = client.get(f"/makers/{sheet(judged, SECOND).address}").text
    assert "Has sharp edges. Handle with care." in text
    assert rows_of(judged, FIRST)["peg"]["Can hurt"] == "small part"
    assert rows_of(judged, FIRST)["head"]["Can hurt"] == "none"
    assert rows_of(judged, FIRST)["tongs"]["Can hurt"] == ""


def test_the_table_is_rfc_4180_and_starts_no_formula(judged):
    content = maker_csv(judged, sheet(judged, FIRST))
    text = content.decode("utf-8-sig")
    assert text.endswith("\r\n")
    assert re.sub("\r\n", "", text).count("\n") == re.sub("\r\n", "", text).count("\r") == 0
    records = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(record) for record in records} == {13}
    assert '"Head, calm"' in text
    assert rows_of(judged, FIRST)["tongs"]["Part"] == "'=Tongs"


def test_what_goes_to_nobody_is_named_with_the_reason(judged, client):
    assert {each.part.id: each.why for each in unsent(judged)} == {
        "lamp": "its quote names no maker", "poker": "no quote is chosen"
    }  # fmt: skip
    page = client.get("/makers").text
    assert "no quote is chosen" in page
    assert "2 parts go to nobody yet" in page


def test_a_maker_of_nothing_has_a_page_that_says_so_and_no_files_are_made(judged, client):
    assert "Nothing is to be made" in client.get("/makers/carver-sons").text
    made = maker_files(judged).contents
    assert len(made) == 4
    assert not [name for name in made if "carver" in name]


def test_the_sheets_are_linked_from_home_and_from_what_goes_on_paper(judged, client):
    for path in ("/", "/report"):
        main = client.get(path).text.partition("<main")[2]
        assert 'href="/makers"' in main, path
    page = client.get("/makers").text
    for of in maker_sheets(judged):
        assert f'href="/makers/{of.address}"' in page
        for kind, media_type in (("pdf", "application/pdf"), ("csv", "text/csv; charset=utf-8")):
            name = file_name(of, kind)
            assert f'href="/report/{name}"' in page
            answer = client.get(f"/report/{name}")
            assert answer.status_code == 200
            assert answer.headers["content-type"] == media_type
            assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'


@pytest.mark.parametrize(
    "path", ["/makers/nobody", "/report/maker-nobody.pdf", "/report/maker-carver-sons.xml"]
)
def test_a_maker_that_no_quote_names_is_nowhere(client, path):
    assert client.get(path).status_code == 404


def test_the_whole_report_says_on_its_face_that_it_is_for_the_house(judged, client):
    words = bare("For the house: it shows costs, margins and profit.")
    assert words in bare(report_html(judged, folder="kiln", inputs={}))
    pdf = reader(report_pdf(judged, folder="kiln", inputs={}).content)
    assert words in bare(pdf.pages[0].extract_text())
    assert "The whole line is for the house" in client.get("/report").text


def test_more_sheets_than_the_command_writes_are_said(judged, monkeypatch):
    from sixwright.reports.sheets import maker_files as module

    monkeypatch.setattr(module, "MOST_SHEETS", 1)
    made = maker_files(judged)
    assert len(made.contents) == 2
    assert MORE in made.notices


@pytest.mark.parametrize(
    ("letter", "claims"),
    [("\ufeff", 2), ("\ufffe", 2), ("\ue000", 0), ("\uffff", 0), ("\u202e", 2), ("\x7f", 2)],
)
def test_no_letter_in_a_makers_name_takes_the_sheet_away(judged, letter, claims):
    first = next(sheet for sheet in maker_sheets(judged) if sheet.parts)
    made = maker_pdf(judged, replace(first, maker=f"Yard {letter}1"))
    assert len(made.standards) == claims
