"""Home says what to fill in first, groups what is alike, and never says that nothing needs you
where only what was accepted is left."""

from dataclasses import replace
from datetime import date

from sixwright.importer.sample import sample_files
from sixwright.kernel.findings import Evidence, Stakes, Subject
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Sentence
from sixwright.project.apply import apply
from sixwright.project.records import Change, Record
from sixwright.reports.as_json.review import check_json
from sixwright.reports.document import Items, Table
from sixwright.reports.pages import document
from sixwright.reports.pages.rows import row_anchor
from sixwright.reports.prompt.text import review_text
from sixwright.reports.wording.words import say, text_of
from sixwright.storage.folder import read_files
from sixwright.topics.money.rules import RATE
from sixwright.workflows.acceptances import recorded
from sixwright.workflows.fill_first import fill_first
from sixwright.workflows.review import review
from sixwright.workflows.topics import JOINED

TODAY = date(2026, 9, 14)


def line(tmp_path):
    files = sample_files(id_="line", today=TODAY)
    return read_files(tmp_path, {name: text.encode() for name, text in files.items()}).project


def home_of(project):
    return document(review(project, today=TODAY), "home")


def blocks(shown, kind):
    return [block for block in shown.blocks if isinstance(block, kind)]


def to_fill_in(shown):
    tables = [table for table in blocks(shown, Table) if table.name == "What to fill in first"]
    return tables[0].rows if tables else ()


def emptied(project, *cells):
    return apply(project, [Change(table, id_, column, value="") for table, id_, column in cells])


def test_nothing_is_to_be_filled_in_where_nothing_is_missing(tmp_path):
    assert to_fill_in(home_of(line(tmp_path))) == ()


def named(rows):
    return [text_of(row.cells[0].value, "en-GB") for row in rows]


def test_the_cell_that_decides_the_most_comes_first(tmp_path):
    whole = line(tmp_path)
    box = next(iter(whole.sells))
    holed = emptied(whole, ("line", "line", "money.spares"), ("editions", box, "price"))
    rows = to_fill_in(home_of(holed))
    assert named(rows) == ["Spares", f"Price of {whole.sells[box].name}"]
    decided = [row.cells[2].value.value for row in rows]
    assert decided == sorted(decided, reverse=True)


def test_each_line_is_a_link_to_its_cell_and_a_field_there(tmp_path):
    whole = line(tmp_path)
    box = next(iter(whole.sells))
    price = next(iter(whole.records["prices"]))
    holed = emptied(whole, ("editions", box, "price"), ("prices", price, "unit_price"),
                    ("line", "line", "money.duty"))  # fmt: skip
    found = {}
    for row in to_fill_in(home_of(holed)):
        place, link = row.cells[1].place, row.cells[0].link
        found[f"{place.table}/{place.id}/{place.column}"] = (link.topic, link.anchor)
    assert found == {
        f"editions/{box}/price": ("tables/editions", row_anchor(box)),
        f"prices/{price}/unit_price": ("tables/prices", row_anchor(price)),
        "line/line/money.duty": ("tables/line", row_anchor("money.duty")),
    }


def test_a_price_without_a_row_leads_to_the_form_of_one(tmp_path):
    whole = line(tmp_path)
    way = next(iter(whole.ways))
    rows = {id_: row for id_, row in whole.records["prices"].items() if not id_.startswith(way)}
    holed = replace(whole, records={**whole.records, "prices": rows},
                    prices=tuple(row for row in whole.prices if row.way != way))  # fmt: skip
    (row,) = [r for r in to_fill_in(home_of(holed)) if r.cells[1].place is None]
    assert row.cells[0].link.topic == f"tables/prices?way={way}"


def test_many_cells_of_one_column_are_one_line_to_its_table(tmp_path):
    whole = line(tmp_path)
    ways = [("ways", way, "minutes") for way in whole.ways]
    assert len(ways) > 8
    (row,) = to_fill_in(home_of(emptied(whole, *ways)))
    assert named([row])[0].endswith(f"and {len(ways) - 1} others")
    assert row.cells[0].link.topic == "tables/ways?column=minutes&which=*"


def test_a_check_that_lacks_five_counts_a_fifth_for_each():
    def lacking(name, *cells):
        return RATE.finding(Subject("rate", name), Evidence(missing=cells), Sentence("x"))

    spread = [lacking(f"r{n}", *(f"parts/p{k}/mass_g" for k in range(5))) for n in range(4)]
    alone = lacking("alone", "editions/day/price")
    order = [lack.place for lack in fill_first([*spread, alone])]
    assert order[0] == "editions/day/price"  # one check, against four fifths of one
    more = lacking("more", *(f"parts/p{k}/mass_g" for k in range(5)))
    assert fill_first([*spread, more, more, alone])[0].place == "parts/p0/mass_g"


def test_what_to_fill_in_is_in_the_data_too(tmp_path):
    whole = line(tmp_path)
    box = next(iter(whole.sells))
    found = review(emptied(whole, ("editions", box, "price")), today=TODAY)
    (lack,) = check_json(found, version="0", inputs={})["fill_in"]
    assert lack["cell"] == f"editions/{box}/price"
    assert f"money.margin:sells/{box}" in lack["decides"]
    assert set(lack["decides"]) <= set(lack["rests"])


def test_findings_of_one_cause_are_one_entry_the_heaviest(tmp_path):
    whole = line(tmp_path)
    dear = apply(whole, [Change("ways", way, "minimum", value="90000") for way in whole.ways])
    found = review(dear, today=TODAY)
    alike = [f for f in found.findings if (f.topic, f.rule) == ("money", "minimum")
             and f.verdict is Verdict.FAILS]  # fmt: skip
    assert len(alike) > 3
    (items,) = blocks(document(found, "home"), Items)[:1]
    shown = [item for item in items.items if item.finding in alike]
    assert [item.finding.id for item in shown] == [max(alike, key=lambda f: f.weight).id]
    assert shown[-1].links[-1].words == f"{len(alike) - 1} more like it"
    assert f"And {len(alike) - 1} more like it." in review_text(found, (), styled=False)


def test_what_only_waits_for_cells_is_in_the_table_of_cells(tmp_path):
    whole = line(tmp_path)
    shown = home_of(emptied(whole, ("line", "line", "money.spares")))
    (items,) = blocks(shown, Items)[:1]
    assert all(not item.finding.missing for item in items.items)
    assert to_fill_in(shown) != ()


def test_at_most_ten_entries_and_the_rest_is_folded(tmp_path):
    assert all(len(block.items) <= 10 for block in blocks(home_of(line(tmp_path)), Items))


def test_what_could_hurt_someone_comes_before_money_before_the_head_before_the_box():
    assert sorted(Stakes) == [Stakes.HARM, Stakes.MONEY, Stakes.FACE, Stakes.BOX, Stakes.RECORD]
    rules = {f"{rule.topic}.{rule.id}": rule.stakes for each in JOINED for rule in each.topic.rules}
    nose, peg = rules["likeness.correction"], rules["lineup.grip"]
    assert rules["care.magnet"] < rules["money.margin"] < nose < peg < rules["likeness.still"]


def test_what_is_accepted_is_never_nothing(tmp_path):
    whole = line(tmp_path)
    way = next(iter(whole.ways))
    failing = apply(whole, [Change("ways", way, "minimum", value="90000")])
    open_ = [f for f in review(failing, today=TODAY).findings if f.verdict is not Verdict.HOLDS]
    assert open_
    rows = {
        f.id: Record("accepted", f.id, {"finding": f.id, "by": "ada", "date": "2026-09-01",
                                     "reason": "it sells", **recorded(f)})
        for f in open_
    }  # fmt: skip
    accepted = replace(failing, records={**failing.records, "accepted": rows})
    (items,) = blocks(home_of(accepted), Items)[:1]
    assert items.items == ()
    assert say(items.none, "en-GB") == "Nothing needs you but what you accepted, listed below."
    (items,) = blocks(home_of(whole), Items)[:1]
    if not items.items:
        assert "needs you today" in say(items.none, "en-GB")


def test_the_box_that_keeps_the_least_does_so_of_its_price(tmp_path):
    lead = next(b for b in document(review(line(tmp_path), today=TODAY), "money").blocks)
    said = " ".join(say(sentence, "en-GB") for sentence in lead.sentences)
    assert "keeps the least of its price: " in said


def test_a_quote_without_a_last_day_is_not_said_to_have_run_out(tmp_path):
    whole = line(tmp_path)
    way = next(iter(whole.ways))
    found = review(emptied(whole, ("ways", way, "valid_until")), today=TODAY)
    tables = [b for b in document(found, "money").blocks if isinstance(b, Table)]
    said = {say(remark.sentence, "en-GB") for table in tables for row in table.rows
            for cell in row.cells for remark in cell.remarks}  # fmt: skip
    assert "its quote names no last day" in said
    assert "its quote has run out" not in said


def asked_of(project):
    """Who has to act: of whom, what is asked."""
    tables = [b for b in blocks(home_of(project), Table) if b.name == "Who has to act"]
    return {
        (text_of(row.cells[0].value, "en-GB"), text_of(row.cells[1].value, "en-GB"))
        for table in tables
        for row in table.rows
    }


def test_a_maker_is_asked_for_what_their_quote_lacks_and_for_nothing_else(tmp_path):
    whole = line(tmp_path)
    first, *_ = whole.ways.values()
    price = next(row for row in whole.prices if row.way == first.id)
    assert asked_of(emptied(whole, ("ways", first.id, "tooling"))) == {
        (first.maker, "1 tooling cost to state"),
        ("You", "4 checks that wait for a value"),
    }
    cell = ("prices", f"{first.id}/{price.from_quantity}", "unit_price")
    both = asked_of(emptied(whole, ("ways", first.id, "tooling"), cell))
    assert {what for who, what in both if who == first.maker} == {
        "1 tooling cost to state",
        "1 price to state",
    }


def test_a_maker_is_asked_for_no_rate_and_no_orders(tmp_path):
    whole = line(tmp_path)
    sells = [("orders", id_, "quantity") for id_ in whole.orders]
    assert {who for who, _ in asked_of(emptied(whole, *sells))} == {"You"}


def test_the_money_page_names_a_price_without_a_row_by_its_quote(tmp_path):
    whole = line(tmp_path)
    way = next(iter(whole.ways.values()))
    rows = [row for row in whole.prices if row.way == way.id]
    cells = [f"{way.id}/{row.from_quantity}" for row in rows]
    gone = apply(whole, [Change("prices", id_, remove=True) for id_ in cells])
    gone = emptied(gone, *(("ways", each, "minimum") for each in list(whole.ways)[1:5]))
    (answer, *_) = document(review(gone, today=TODAY), "money").blocks
    said = " ".join(say(sentence, "en-GB") for sentence in answer.sentences)
    assert f"Price a piece of {whole.parts[way.part].called} ({way.maker}" in said
    assert ", from" not in said
