"""Findings on pages: parts of one name told apart, what is missing told once, limits in words."""

from datetime import date

import pytest

from sixwright.importer.sample import sample_files
from sixwright.kernel.findings import Evidence, Rule, Subject
from sixwright.kernel.intervals import Limit, exact
from sixwright.kernel.sentences import Sentence
from sixwright.kernel.sources import Source
from sixwright.kernel.units import LINE_CURRENCY, currency, things
from sixwright.project.apply import apply
from sixwright.project.records import Change
from sixwright.reports.document import Document, Fold, Items, Table
from sixwright.reports.html import report_html
from sixwright.reports.pages import document
from sixwright.reports.wording.changes import told
from sixwright.reports.wording.evidence import evidence
from sixwright.reports.wording.words import say, text_of
from sixwright.storage.folder import read_files
from sixwright.workflows.review import review

TODAY = date(2026, 9, 14)


def line(tmp_path):
    files = sample_files(id_="line", today=TODAY)
    return read_files(tmp_path, {name: text.encode() for name, text in files.items()}).project


def with_two_of_a_name(project):
    first, second = list(project.parts)[:2]
    name = Change("parts", second, "name", value=project.parts[first].name)
    return first, second, apply(project, [name])


def test_two_parts_of_one_name_are_told_apart_by_their_ids(tmp_path):
    first, second, twins = with_two_of_a_name(line(tmp_path))
    name = twins.parts[first].name
    assert twins.parts[first].called == f"{name} ({first})"
    assert twins.parts[second].called == f"{name} ({second})"
    assert [part.called for id_, part in twins.parts.items() if id_ not in {first, second}] == [
        part.name for id_, part in twins.parts.items() if id_ not in {first, second}
    ]
    for page in ("lineup", "money"):
        tables = [b for b in document(review(twins, today=TODAY), page).blocks
                  if isinstance(b, Table)]  # fmt: skip
        cells = [row.cells[0].value for table in tables for row in table.rows]
        shown = [text_of(value, "en-GB") for value in cells if value]
        assert f"{name} ({first})" in shown
        assert f"{name} ({second})" in shown


def test_a_box_of_many_parts_without_joints_names_the_box_first_and_a_few_parts(tmp_path):
    whole = line(tmp_path)
    fitted = [id_ for id_, part in whole.parts.items() if part.kind in {"head", "hand"}]
    bare = apply(whole, [Change("parts", id_, "fits", value="") for id_ in fitted])
    seen = review(bare, today=TODAY, only=("lineup",))
    told_of = [f for f in seen.findings if f.rule == "joint" and f.missing]
    for finding in told_of:
        box = bare.sells[finding.subject.id].name
        assert say(finding.message, "en-GB").startswith(f"In {box} ")
    assert told_of
    remarks = {
        row.anchor: row.cells[0].remarks
        for table in document(seen, "lineup").blocks if isinstance(table, Table)
        for row in table.rows
    }  # fmt: skip
    assert all(remarks[f"part-{id_}"] for id_ in fitted)


def found(limit, unit, measured, missing=()):
    rule = Rule("money", "trial", "Left", unit, Source("trial", "A trial"))
    seen = Evidence(
        measured, limit, missing, unit=currency("EUR") if unit is LINE_CURRENCY else unit
    )
    return rule.finding(Subject("line", "line"), seen, Sentence("Trial."))


def said(finding):
    return [say(each, "en-GB") for each in evidence(finding)]


def test_a_limit_of_nothing_is_said_in_words():
    assert said(found(Limit(">=", 0), LINE_CURRENCY, exact(5)))[1] == "Wanted: no loss."
    assert said(found(Limit("==", 0), things("part", "parts"), exact(2)))[1] == (
        "There should be none."
    )
    assert said(found(Limit("==", 0), things("part", "parts"), None, ("parts/a/fits",))) == [
        "Missing: fits of a, in parts.csv."
    ]


def test_what_is_missing_is_told_by_what_it_is_and_many_rows_are_counted():
    places = [f"parts/p{i}/hazards" for i in range(6)]
    places += ["rates/CNY/per_unit", "line/line/money.spares", "line/line/money.duty"]
    assert said(found(Limit("==", 0), things("part", "parts"), None, tuple(places))) == [
        "Missing: hazards of p0, p1, p2 and 3 more, in parts.csv.",
        "Missing: rate of CNY, in line.toml.",
        "Missing: spares and duty, in line.toml.",
    ]


def test_a_row_of_numbers_is_told_with_its_number(tmp_path):
    whole = line(tmp_path)
    new = Change("rates", "EUR", add={"currency": "EUR", "per_unit": "0.92"})
    after = apply(whole, [new])
    assert say(told(new, whole.records, after.records), "en-GB") == (
        "The rate EUR was added: Per 1 USD 0.92."
    )
    out = Change("rates", "EUR", remove=True)
    assert say(told(out, after.records, whole.records), "en-GB") == (
        "The rate EUR was taken out: Per 1 USD 0.92."
    )


@pytest.mark.parametrize(
    ("table", "column", "text", "now"),
    [
        ("ways", "minutes", "1", "1 minute"),
        ("ways", "minutes", "2", "2 minutes"),
        ("line", "money.labour.rate", "20", "20 USD/h"),
        ("line", "money.labour.rate", "84 CNY/h", "84 CNY/h"),
    ],
)
def test_a_new_value_is_told_with_its_unit(tmp_path, table, column, text, now):
    whole = line(tmp_path)
    row = next(iter(whole.records[table]))
    change = Change(table, row, column, was="", value=text)
    assert say(told(change, whole.records, whole.records), "en-GB").endswith(f"is now {now}.")


def folds(shown: Document):
    return [block for block in shown.blocks if isinstance(block, Fold)]


def test_of_what_holds_by_one_rule_the_first_are_listed_and_the_others_folded(tmp_path):
    shown = document(review(line(tmp_path), today=TODAY), "lineup")
    (held,) = [fold for fold in folds(shown) if fold.anchor == "lineup-holds"]
    listed = [len(block.items) for block in held.blocks if isinstance(block, Items)]
    inner = [len(block.items) for fold in held.blocks if isinstance(fold, Fold)
             for block in fold.blocks]  # fmt: skip
    assert max(listed) <= 8
    assert inner
    all_held = [f for f in review(line(tmp_path), today=TODAY).findings
                if f.topic == "lineup" and f.verdict == "holds"]  # fmt: skip
    assert sum(listed) + sum(inner) == len(all_held)


def test_where_a_rate_is_missing_a_link_leads_to_it_and_none_is_dead_on_paper(tmp_path):
    whole = line(tmp_path)
    gone = apply(whole, [Change("rates", "CNY", remove=True)])
    seen = review(gone, today=TODAY)
    money = [each for block in document(seen, "money").blocks if isinstance(block, Items)
             for each in block.items]  # fmt: skip
    links = {link.topic for each in money for link in each.links}
    assert "tables/rates?currency=CNY" in links
    html = report_html(seen, folder="line", inputs={})
    assert 'href="#add"' not in html
