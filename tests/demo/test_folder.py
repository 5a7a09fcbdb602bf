"""The demo folder is the demo line: counts that anyone can check against its description."""

import csv
import json
import re
import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

from sixwright.reports.document import Items
from sixwright.reports.pages import document
from sixwright.reports.wording.words import say
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.workflows.review import review
from sixwright.workflows.topics import BY_ID

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "examples/sluice-keeper"
EXPECTED_OF = {
    file.stem: json.loads(file.read_text(encoding="utf-8"))
    for file in sorted((ROOT / "tests/demo/expected").glob("*.json"))
}
EXPECTED = [one for some in EXPECTED_OF.values() for one in some]
TODAY = date(2026, 9, 14)
# What the line's description says that boxes and money must say, and nothing else fails.
FAILING = {
    "lineup.grip:sells/low-water-watch",
    "lineup.announced:sells/muster-watch/keys",
    "lineup.announced:sells/low-water-watch/keys",
    "money.minimum:part/cape",
}


def test_exactly_the_expected_verdicts_appear():
    found = review(read(DEMO).project, today=TODAY, tools=TOOLS).findings
    here = {f.id: str(f.verdict) for f in found if f.topic in {"lineup", "money"}}
    assert {e["id"]: e["verdict"] for e in EXPECTED if e["id"] in here} == {
        id_: verdict for id_, verdict in here.items() if verdict != "holds"
    }


def test_each_topic_has_what_is_expected_of_it_in_a_file_of_its_own():
    assert set(EXPECTED_OF) <= set(BY_ID)
    for topic, some in EXPECTED_OF.items():
        assert some
        assert {one["id"].partition(".")[0] for one in some} == {topic}


def test_what_is_expected_is_what_the_description_lists():
    expected = {e["id"]: e["verdict"] for e in EXPECTED}
    topics = {id_: v for id_, v in expected.items() if id_.startswith(("lineup.", "money."))}
    assert {id_ for id_, verdict in topics.items() if verdict == "fails"} == FAILING
    doubtful = {id_ for id_, verdict in topics.items() if verdict == "doubtful"}
    assert "money.quote-date:maker/MC" in doubtful
    assert not any(id_.startswith("money.margin:") for id_ in doubtful)
    assert set(topics.values()) == {"fails", "doubtful"}


def test_without_the_expired_quotes_nothing_is_doubtful():
    found = review(read(DEMO).project, today=date(2026, 9, 1), tools=TOOLS).findings
    verdicts = {f.id: str(f.verdict) for f in found if f.topic in {"lineup", "money"}}
    assert {id_ for id_, verdict in verdicts.items() if verdict != "holds"} == FAILING


def rows(name):
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_line_is_of_its_real_size():
    assert (len(rows("parts.csv")), len(rows("orders.csv"))) == (50, 5)
    assert sum(int(row["quantity"]) for row in rows("orders.csv")) == 700
    pieces = {box["sells"]: 0 for box in rows("orders.csv")}
    for row in rows("contents.csv"):
        pieces[row["sells"]] += int(row["quantity"])
    # The columns of the table in the line's description, added up.
    assert list(pieces.values()) == [32, 63, 34, 66, 118]


def test_nothing_in_the_folder_tells_what_is_wrong_with_it():
    words = re.compile(
        r"fault|planted|wrong|mistake|error|missing|expired|too (much|many|few)", re.IGNORECASE
    )
    texts = [path.read_text(encoding="utf-8") for path in DEMO.glob("*.*") if path.suffix != ".stl"]
    assert len(texts) >= 5
    assert [words.search(text)[0] for text in texts if words.search(text)] == []


def test_the_choices_start_from_the_folder_as_it_stands():
    tables = {name: {row["id"]: row for row in rows(f"{name}.csv")} for name in ("parts", "ways")}
    choices = [tomllib.loads(path.read_text("utf-8")) for path in DEMO.glob("choices/*.toml")]
    assert len(choices) == 3
    for choice in choices:
        first, *others = choice["alternatives"]
        assert "changes" not in first
        for change in (change for other in others for change in other["changes"]):
            assert tables[change["table"]][change["id"]][change["column"]] == change["was"]
            assert tables["ways"][change["value"]]["part"] == change["id"]


def test_what_a_choice_is_open_about_is_left_to_the_choice():
    project = read(DEMO).project
    cape = next(f for f in review(project, today=TODAY, tools=TOOLS).findings
                if f.id == "money.minimum:part/cape")  # fmt: skip
    assert cape.fix is None
    assert say(cape.remedy, "en-GB") == "Settle the open choice: Which cloth for the cape?"
    alone = replace(project, choices={})
    (fixed,) = [f for f in review(alone, today=TODAY, tools=TOOLS).findings if f.id == cape.id]
    assert (fixed.fix.table, fixed.fix.id) == ("parts", "cape")
    assert dict(fixed.fix.cells) == {"way": "cape-stock"}


def test_what_could_be_saved_is_told_apart_and_nothing_below_25_usd():
    found = review(read(DEMO).project, today=TODAY, tools=TOOLS)
    assert [(chance.id, round(chance.saving.value)) for chance in found.chances] == [
        ("money.break:part/body", 2558),
        ("money.break:part/pack-l", 196),
        ("money.break:part/lant", 104),
    ]


def test_at_home_what_fails_leads_to_its_evidence_and_to_the_choice_about_it():
    found = review(read(DEMO).project, today=TODAY, tools=TOOLS)
    (items,) = [b for b in document(found, "home").blocks if isinstance(b, Items)]
    (cape,) = [i for i in items.items if i.finding.id == "money.minimum:part/cape"]
    assert [(link.topic, link.anchor) for link in cape.links] == [
        ("money", "money_minimum_part_cape"),
        ("choices", "choice-cape-cloth"),
    ]
