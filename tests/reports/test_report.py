"""The report: one file that needs nothing beside it, and the same words everywhere."""

import json
import re
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser

import pytest

from reports.lines import real_size, reviewed
from sixwright.kernel.errors import Problem
from sixwright.kernel.intervals import Verdict
from sixwright.reports import fonts
from sixwright.reports.as_json.review import check_json, errors_json
from sixwright.reports.html import report_html
from sixwright.reports.pages import document
from sixwright.reports.prompt.text import document_text, review_text
from sixwright.topics.money.bill import bill
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review as judge

INPUTS = {"line.toml": "ab" * 32, "parts.csv": "cd" * 32}
# The lines of a bill that add up to another, as folder.md and money.md define them.
ADD_UP = (
    (("parts", "labour", "overhead"), "unit_cost"),
    (("unit_cost", "duty", "freight", "fees", "reserve"), "landed"),
    (("landed", "margin"), "price"),
    (("fixed_share", "margin_after_fixed_share"), "margin"),
)


class Page(HTMLParser):
    """What a page refers to, what it can be referred to by, and what it says."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.refers, self.ids, self.tags, self.styled, self.said = [], [], [], [], []
        self._quiet = 0
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self._quiet += tag in {"style", "script"}
        for name, value in attrs:
            if name in {"src", "href", "srcset", "action", "data", "poster", "xlink:href"}:
                self.refers.append(value)
            if name == "id":
                self.ids.append(value)
            if name == "style" or name.startswith("on"):
                self.styled.append((tag, name, value))

    def handle_endtag(self, tag):
        self._quiet -= tag in {"style", "script"}

    def handle_data(self, data):
        if not self._quiet:
            self.said.append(data)

    @property
    def words(self) -> str:
        return " ".join("".join(self.said).split())


def flat(text: str) -> str:
    return " ".join(text.replace("→ ", "").split())


@pytest.fixture(scope="module", params=["en-GB", "de-DE"])
def judged(request):
    return reviewed(real_size(locale=request.param))


@pytest.fixture(scope="module")
def report(judged) -> str:
    return report_html(judged, folder="flood", inputs=INPUTS)


def test_the_report_refers_to_nothing_outside_itself(report):
    page = Page(report)
    assert page.refers
    assert [place for place in page.refers if not place.startswith("#")] == []
    assert [
        url for url in re.findall(r"url\(([^)]{0,20})", report) if not url.startswith("data:")
    ] == []
    assert "@import" not in report
    assert "script" not in page.tags


def test_every_link_of_the_report_leads_somewhere(report):
    page = Page(report)
    assert {place for place in page.refers if place[1:] not in page.ids} == set()


def test_no_two_places_share_a_name(report):
    ids = Page(report).ids
    assert sorted({each for each in ids if ids.count(each) > 1}) == []


def test_nothing_is_styled_in_line(report):
    assert Page(report).styled == []


def test_the_same_review_makes_the_same_bytes(judged, report):
    assert report_html(judged, folder="flood", inputs=INPUTS) == report


def test_the_report_needs_no_fonts_beside_it(judged, monkeypatch, tmp_path):
    monkeypatch.setattr(fonts, "FONTS", tmp_path / "absent")
    bare = report_html(judged, folder="flood", inputs=INPUTS)
    assert "@font-face" not in bare
    assert Page(bare).words == Page(report_html(judged, folder="flood", inputs=INPUTS)).words


def test_every_finding_is_worded_alike_in_page_report_command_and_json(judged, report):
    said_in_report = Page(report).words
    text = flat(
        " ".join(
            document_text(document(judged, topic), styled=False, folded=False)
            for topic in judged.verdicts
        )
    )
    data = check_json(judged, version="0", inputs=INPUTS)["findings"]
    assert len(data) == len(judged.findings) > 200
    for finding in data:
        for words in filter(None, (finding["message"], finding["remedy"])):
            assert flat(words) in said_in_report
            assert flat(words) in text


def test_what_needs_you_is_in_the_command_without_asking_for_topics(judged):
    text = flat(review_text(judged, (), styled=False))
    told = set()
    for finding in check_json(judged, version="0", inputs=INPUTS)["findings"][:12]:
        cause = (finding["topic"], finding["rule"], finding["verdict"])
        if cause not in told and finding["verdict"] != "unchecked":
            assert flat(finding["message"]) in text
        told.add(cause)
    assert len(told) > 2


def test_the_json_is_plain_and_has_the_fixed_keys(judged):
    data = json.loads(json.dumps(check_json(judged, version="0", inputs=INPUTS), allow_nan=False))
    assert list(data) == [
        "format", "version", "line", "seed", "today", "inputs", "verdict", "counts", "errors",
        "findings", "chances", "fill_in", "answers",
    ]  # fmt: skip
    assert set(data["counts"]) == {"holds", "doubtful", "fails", "unchecked"}
    assert (
        {"lineup", "money"} < set(data["answers"]) == {finding.topic for finding in judged.findings}
    )
    assert sum(data["counts"].values()) == len(data["findings"])


def test_money_in_findings_is_decimal_text_in_the_lines_currency(judged):
    data = check_json(judged, version="0", inputs=INPUTS)
    minimums = [f for f in data["findings"] if f["rule"] == "minimum" and f["measured"]]
    assert minimums
    by_id = {finding.id: finding for finding in judged.findings}
    for finding in minimums:
        assert isinstance(finding["measured"]["value"], str)
        exact = by_id[finding["id"]].measured.value
        assert abs(Fraction(finding["measured"]["value"]) - exact) <= Fraction(1, 10**6)


def test_a_folder_that_cannot_be_read_has_errors_and_no_verdict(judged):
    problem = Problem(
        "parts.csv", "a kind of part", "“hed”", row=3, column="kind", suggestion="head"
    )
    data = errors_json((problem,), version="0", today=judged.today)
    assert (data["verdict"], data["findings"], data["answers"]) == (None, [], {})
    assert data["errors"] == [
        {
            "file": "parts.csv", "row": 3, "column": "kind", "key": None,
            "expected": "a kind of part", "found": "“hed”", "suggestion": "head",
        }
    ]  # fmt: skip


def test_only_the_topics_asked_for_are_answered():
    only = judge(real_size(parts=6), today=reviewed(real_size(parts=6)).today, only=("money",))
    data = check_json(only, version="0", inputs=INPUTS)
    assert set(data["answers"]) == {"money"}
    assert {finding["topic"] for finding in data["findings"]} == {"money"}
    assert (
        Page(report_html(only, folder="x", inputs=INPUTS)).words.count("What is in each box?") == 0
    )


def test_what_is_stated_of_a_box_adds_up_to_the_cent(judged):
    known = [box for box in judged.of(MONEY).sells.values()
             if box.landed is not None and box.fixed_share is not None]  # fmt: skip
    assert known
    for box in known:
        lines = bill(box, places=2)
        for parts, whole in ADD_UP:
            assert sum(lines[part] for part in parts) == lines[whole]
        for name, line in lines.items():
            assert abs(line - getattr(box, name)) < Fraction(4, 100), name
        for name in ("landed", "margin", "fixed_share"):
            assert abs(lines[name] - getattr(box, name)) <= Fraction(1, 200), name


def test_a_picture_of_a_box_states_what_its_bill_states(judged, report):
    """The summary for those who cannot see, and the table: the same cents."""
    for sells, box in judged.of(MONEY).sells.items():
        if box.landed is None:
            continue
        lines = bill(box, places=2)
        name = judged.project.sells[sells].name
        for part in ("parts", "labour", "overhead", "duty", "freight", "fees", "reserve"):
            assert f"{part} {float(lines[part]):.2f} USD" in report, (name, part)


def test_accepted_findings_keep_their_verdict_and_show_the_reason(judged):
    from sixwright.kernel.findings import Accepted

    first = judged.findings[0]
    accepted = replace(first, accepted=Accepted("Ada", "2026-09-12", "it was promised", "1"))
    changed = replace(judged, findings=(accepted, *judged.findings[1:]))
    words = Page(report_html(changed, folder="x", inputs=INPUTS)).words
    assert "Accepted by Ada on" in words
    assert "it was promised" in words
    assert first.verdict is Verdict.FAILS


def test_the_foot_of_each_printed_page_names_folder_date_and_checksum(report, judged):
    foot = re.search(r'@bottom-left\{content:"([^"]+)"', report)[1]
    folder, day, checksum = foot.split(" · ")
    assert folder == "flood"
    assert "2026" in day
    assert re.fullmatch(r"[0-9a-f]{12}", checksum)
    other = report_html(judged, folder="flood", inputs=INPUTS | {"parts.csv": "ef" * 32})
    assert checksum not in other


def test_plain_text_has_no_codes_and_keeps_to_the_width(judged):
    text = review_text(judged, (), styled=False)
    assert "\x1b" not in text
    assert max(len(line) for line in text.splitlines()) <= 103
    assert "\x1b[1m" in review_text(judged, (), styled=True)


def test_tables_of_real_size_keep_to_the_width(judged):
    text = document_text(document(judged, "lineup"), styled=False)
    rows = [line for line in text.splitlines() if "Head no. 1 " in line]
    assert rows
    assert max(len(line) for line in text.splitlines()) <= 103  # a mark may follow the last column
