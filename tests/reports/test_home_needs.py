"""Home says what to fill in first, groups what is alike, and never says that nothing needs you
where only what was accepted is left."""

from dataclasses import replace
from datetime import date

from sixwright.importer.sample import sample_files
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Names
from sixwright.project.apply import apply
from sixwright.project.records import Change, Row
from sixwright.reports.document import Items, Table
from sixwright.reports.pages import document
from sixwright.reports.prompt.text import review_text
from sixwright.reports.wording.words import say, text_of
from sixwright.storage.folder import read_files
from sixwright.workflows.acceptances import recorded
from sixwright.workflows.review import review

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


def test_the_cell_on_which_the_most_rests_comes_first(tmp_path):
    whole = line(tmp_path)
    box = next(iter(whole.sells))
    holed = emptied(whole, ("line", "line", "money.spares"), ("editions", box, "price"))
    rows = to_fill_in(home_of(holed))
    assert [text_of(row.cells[0].value, "en-GB") for row in rows] == ["Spares", "Price"]
    counts = [row.cells[3].value.value for row in rows]
    assert counts == sorted(counts, reverse=True)
    assert [row.cells[2].value for row in rows] == ["line.toml", "line.toml"]
    assert rows[1].cells[1].value.values["names"] == Names((whole.sells[box].name,))


def test_what_is_alike_and_does_not_fail_is_counted_after_the_first(tmp_path):
    whole = line(tmp_path)
    ways = [("ways", way, "valid_until") for way in whole.ways]
    holed = emptied(whole, *ways, ("line", "line", "money.spares"))
    found = review(holed, today=TODAY)
    alike = [f for f in found.findings if (f.topic, f.rule) == ("money", "price-known")
             and f.verdict is Verdict.UNCHECKED]  # fmt: skip
    assert len(alike) > 3
    (items,) = blocks(document(found, "home"), Items)[:1]
    shown = [item for item in items.items if item.finding in alike]
    assert [item.finding.id for item in shown] == [finding.id for finding in alike[:2]]
    assert shown[-1].links[-1].words == f"{len(alike) - 2} more like it"
    assert f"And {len(alike) - 2} more like it." in review_text(found, (), styled=False)


def test_what_is_accepted_is_never_nothing(tmp_path):
    whole = line(tmp_path)
    way = next(iter(whole.ways))
    failing = apply(whole, [Change("ways", way, "minimum", value="90000")])
    open_ = [f for f in review(failing, today=TODAY).findings if f.verdict is not Verdict.HOLDS]
    assert open_
    rows = {
        f.id: Row("accepted", f.id, {"finding": f.id, "by": "ada", "date": "2026-09-01",
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
