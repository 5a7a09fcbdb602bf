"""The whole line judged at once: order, counts, acceptance, and the joins between topics."""

from dataclasses import replace
from datetime import date

import pytest

from sixwright.kernel.errors import CallError
from sixwright.kernel.intervals import WORST_FIRST, Verdict
from sixwright.project.records import Record
from sixwright.workflows.acceptances import recorded
from sixwright.workflows.review import review
from sixwright.workflows.topics import BY_ID, TOPICS
from topics.builders import TODAY, bolts, price
from topics.money.test_compute import full, with_quote

TIED = "money.minimum:part/bolt"  # 4,800 pieces too many at 10: 48,000 tied up


def faulty():
    return with_quote(full(), minimum=5000)


def accepting(value, finding=TIED, **more):
    cells = {
        "finding": finding,
        "by": "ada",
        "date": "2026-09-01",
        "reason": "spares sell",
        "value": value,
        **more,
    }
    return replace(faulty(), records={"accepted": {finding: Record("accepted", finding, cells)}})


def finding_of(found, id_=TIED):
    return next(f for f in found.findings if f.id == id_)


def test_findings_come_worst_first_and_are_counted():
    found = review(faulty(), today=TODAY)
    ranks = [WORST_FIRST.index(f.verdict) for f in found.findings]
    assert ranks == sorted(ranks)
    assert sum(found.counts.values()) == len(found.findings)
    assert set(found.counts) == set(Verdict)
    assert found.verdict is Verdict.FAILS
    worst = {f.topic: f.verdict for f in reversed(found.findings)}
    assert found.verdicts == worst
    assert (worst["lineup"], worst["money"]) == (Verdict.HOLDS, Verdict.FAILS)


def test_within_a_verdict_the_heavier_comes_first():
    failing = [f for f in review(faulty(), today=TODAY).findings if f.verdict is Verdict.FAILS]
    assert len(failing) > 1
    assert [f.weight for f in failing] == sorted((f.weight for f in failing), reverse=True)


def test_only_some_topics_can_be_asked_for():
    found = review(faulty(), today=TODAY, only=("money",))
    assert {f.topic for f in found.findings} == {"money"}
    assert set(found.answered.judged) == {"lineup", "money"}
    assert set(found.verdicts) == {"money"}


def test_a_topic_that_is_not_built_is_refused():
    with pytest.raises(CallError, match="weather"):
        review(faulty(), today=TODAY, only=("weather",))


def test_today_is_the_day_on_which_quotes_are_read():
    line = with_quote(full(), valid_until=date(2026, 9, 14))
    assert review(line, today=date(2026, 9, 14)).verdict is Verdict.HOLDS
    assert review(line, today=date(2026, 9, 15)).verdict is Verdict.DOUBTFUL


@pytest.mark.parametrize("value", ["48000", "48000.00"])
def test_an_accepted_finding_keeps_its_verdict_and_says_so(value):
    found = review(accepting(value), today=TODAY)
    finding = finding_of(found)
    assert (finding.verdict, finding.accepted.reason) == (Verdict.FAILS, "spares sell")
    assert found.verdict is Verdict.FAILS
    assert found.counts == review(faulty(), today=TODAY).counts
    assert found.lapsed == {}


@pytest.mark.parametrize("value", ["47000", "48000.01", "", "much", "nan"])
def test_an_acceptance_lapses_when_the_value_moved(value):
    found = review(accepting(value), today=TODAY)
    assert finding_of(found).accepted is None
    assert found.lapsed[TIED].by == "ada"


@pytest.mark.parametrize(
    ("value", "stands"), [("48004.8", True), ("48005", True), ("48004.7", False), ("48004", False)]
)
def test_an_acceptance_is_compared_to_the_places_that_were_written(value, stands):
    line = replace(accepting(value), prices=(price(amount="10.001"),))  # 4,800 × 10.001
    assert (finding_of(review(line, today=TODAY)).accepted is not None) is stands


def test_an_acceptance_of_something_settled_lapses():
    line = replace(full(), records=accepting("48000").records)
    found = review(line, today=TODAY)
    assert finding_of(found).accepted is None
    assert set(found.lapsed) == {TIED}


def test_what_is_recorded_of_a_finding_is_what_stands_again():
    cells = recorded(finding_of(review(faulty(), today=TODAY)))
    assert cells == {"verdict": "fails", "value": "48000", "low": "48000", "high": "48000"}
    assert finding_of(review(accepting(**cells), today=TODAY)).accepted is not None


@pytest.mark.parametrize(
    ("low", "high", "verdict", "stands"),
    [
        ("47990", "48010", "fails", True),
        ("48000", "48000", "fails", True),
        ("48000.000001", "48010", "fails", False),
        ("47000", "47999", "fails", False),
        ("47990", "48010", "doubtful", False),
        ("", "", "fails", True),
    ],
)
def test_an_acceptance_stands_within_the_interval_and_verdict_that_were_accepted(
    low, high, verdict, stands
):
    line = accepting("48000", low=low, high=high, verdict=verdict)
    found = review(line, today=TODAY)
    assert (finding_of(found).accepted is not None) is stands
    assert (TIED in found.lapsed) is not stands


def test_an_unchecked_finding_is_accepted_without_a_value():
    id_ = "money.price-known:part/bolt"
    line = replace(
        with_quote(full(), replace(price(), unit_price=None)), records=accepting("", id_).records
    )
    assert finding_of(review(line, today=TODAY), id_).accepted is not None


def rests_on(topic):
    """All that a topic rests on, directly or not."""
    found, todo = set(), [topic]
    while todo:
        new = set(BY_ID[todo.pop()].needs) - found
        found |= new
        todo += new
    return found


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.id)
def test_the_arrows_between_topics_form_no_cycle(topic):
    assert topic.id not in rests_on(topic.id)


def test_every_arrow_leads_to_a_topic_that_is_built():
    assert {need for topic in TOPICS for need in topic.needs} <= set(BY_ID)


def test_a_review_of_nothing_is_unchecked_rather_than_sound():
    line = replace(bolts(), parts={}, sells={}, contents=(), orders={}, ways={}, prices=())
    assert review(line, today=TODAY, only=("lineup",)).verdict is Verdict.UNCHECKED
    assert review(line, today=TODAY).verdict is not Verdict.HOLDS
