"""What is said of promises, slots, load and what is missing: the verdict and the words."""

import datetime as dt
from dataclasses import replace

import pytest

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Verdict
from sixwright.line.dates import Milestone, Promise, Slot
from sixwright.reports.wording.words import say
from sixwright.topics.dates.checks import findings
from sixwright.topics.dates.compute import answer
from sixwright.topics.dates.model import Quote
from sixwright.topics.dates.said import chance_sentence, month_to_say, to_say
from sixwright.topics.dates.words import odds
from topics.dates.lines import DAY, MONDAY, fixed, line, person, task


def found(inputs, draws=400):
    judged = findings(inputs, answer(inputs, draws=draws))
    return {f"{f.rule}:{f.subject.kind}/{f.subject.id}": f for f in judged}


def plain(sentence):
    return say(sentence, "en-GB").replace("\N{NO-BREAK SPACE}", " ")


def told(finding):
    return plain(finding.message)


CHANCY = task("a", 0, 0, 6)  # within x days of the first with chance 1 - (1 - x/6)^5


def test_a_promise_that_holds_says_how_sure_it_is():
    kept = found(line(CHANCY, promises=[MONDAY + dt.timedelta(5)]))["promise:promise/p0"]
    assert kept.verdict is Verdict.HOLDS
    assert told(kept) == (
        "The end has more than 99 chances in 100 of being reached by 19 September 2026."
    )
    assert kept.remedy is None


def test_a_promise_that_fails_says_which_date_is_sure_enough():
    broken = found(line(CHANCY, promises=[MONDAY]), draws=2_000)["promise:promise/p0"]
    # Exactly 1 - (5/6)^5 = 59.8 % are done within a day; 86.8 % within two.
    assert broken.verdict is Verdict.FAILS
    assert "The end has 3 chances in 5 (" in told(broken)
    assert "Say 15 September 2026, which has 4 chances in 5" in say(broken.remedy, "en-GB")


def test_a_promise_whose_interval_straddles_the_confidence_is_doubtful():
    inputs = line(CHANCY, promises=[MONDAY])
    close = replace(inputs, rules=replace(inputs.rules, confidence=0.598))
    assert found(close, draws=4_000)["promise:promise/p0"].verdict is Verdict.DOUBTFUL


def test_a_promise_on_something_unknown_is_unchecked_and_names_what_is_missing():
    open_ = found(line(task("a"), promises=[MONDAY]))
    assert open_["promise:promise/p0"].verdict is Verdict.UNCHECKED
    assert open_["promise:promise/p0"].missing == ("tasks/a/likely_days",)
    assert open_["duration:task/a"].verdict is Verdict.UNCHECKED


def test_facts_are_told_as_facts():
    done = line(fixed("a", 3, finished=DAY(2026, 9, 10)), promises=[DAY(2026, 9, 12)])
    assert told(found(done)["promise:promise/p0"]) == (
        "The end was reached on 10 September 2026: the promise of 12 September 2026 was kept."
    )
    late = line(fixed("a", 3), promises=[DAY(2026, 9, 1)])
    assert found(late)["promise:promise/p0"].verdict is Verdict.FAILS
    assert told(found(late)["promise:promise/p0"]) == (
        "The end was promised for 1 September 2026, and is not reached yet."
    )


def test_a_promise_that_was_replaced_is_not_judged():
    inputs = line(fixed("a", 3), promises=[MONDAY])
    both = inputs.promises | {"new": Promise("new", "end", DAY(2027, 1, 1), replaces="p0")}
    assert [key for key in found(replace(inputs, promises=both)) if key.startswith("promise")] == [
        "promise:promise/new"
    ]


@pytest.mark.parametrize(
    ("began", "verdict"), [(MONDAY, Verdict.HOLDS), (MONDAY + dt.timedelta(1), Verdict.FAILS)]
)
def test_a_slot_is_met_by_a_start_on_its_last_day_and_by_no_later_one(began, verdict):
    slot = Slot("s", "a", MONDAY - dt.timedelta(7), MONDAY)
    inputs = line(fixed("a", 9, started=began), slots=(slot,), today=MONDAY + dt.timedelta(2))
    assert found(inputs)["slot:slot/s"].verdict is verdict


def test_a_slot_says_what_holding_it_costs():
    slot = Slot("s", "b", MONDAY, MONDAY + dt.timedelta(3), Money(400, "USD"), DAY(2026, 9, 15))
    inputs = line(CHANCY, fixed("b", 1, after="a"), slots=(slot,))
    missed = found(inputs)["slot:slot/s"]
    assert "before its slot closes on 17 September 2026. Holding it costs 400.00" in told(missed)
    assert found(inputs)["never:task/b"].verdict is Verdict.FAILS


def test_somebody_who_is_asked_for_too_much_is_named_with_the_week():
    inputs = line(fixed("a", 3, who="p"), fixed("b", 3, who="p"), people=[person("p")])
    over = found(inputs)["load:person/p"]
    assert over.verdict is Verdict.FAILS
    assert told(over) == (
        "p is asked for 6 days of work in week 2026-W38 and has 5 days. More is asked than there "
        "is in 1 week, so tasks wait."
    )
    room = found(replace(inputs, people={"p": person("p", 2)}))["load:person/p"]
    assert room.verdict is Verdict.HOLDS


def test_somebody_who_leaves_too_early_is_named():
    inputs = line(fixed("a", 9, who="p"), people=[person("p", until=DAY(2026, 9, 18))])
    assert told(found(inputs)["never:task/a"]) == (
        "a is never done: p is there until 18 September 2026."
    )


def test_a_quote_that_the_order_will_miss_fails_and_one_past_its_date_is_left_to_money():
    inputs = line(fixed("ask", 10), task("cape", part="cape", after="ask"))
    good = Quote("w", "cape", "FB", 45, DAY(2026, 9, 20))
    missed = found(replace(inputs, quotes={"cape": good}))["quote:task/cape"]
    assert missed.verdict is Verdict.FAILS
    past = replace(good, valid_until=DAY(2026, 9, 1))
    assert "quote:task/cape" not in found(replace(inputs, quotes={"cape": past}))


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "less than 1 chance in 100"), (0.004, "less than 1 chance in 100"),
        (0.01, "1 chance in 100"), (0.06, "6 chances in 100"), (0.1, "1 chance in 10"),
        (0.28, "3 chances in 10"), (0.5, "1 chance in 2"), (0.8, "4 chances in 5"),
        (0.93, "93 chances in 100"), (0.99, "99 chances in 100"),
        (0.995, "more than 99 chances in 100"), (1.0, "more than 99 chances in 100"),
    ],
)  # fmt: skip
def test_a_chance_in_words_is_never_none_and_never_all(share, words):
    assert odds(share) == words


def test_the_update_says_the_month_and_what_was_said_before():
    inputs = line(fixed("a", 40), promises=[DAY(2026, 9, 30)])
    (said,) = to_say(inputs, answer(inputs, draws=20))
    assert plain(said) == (
        "The end: we said 30 September 2026; we now plan for October 2026, and give it more than "
        "99 chances in 100."
    )


def test_the_update_keeps_still_about_what_is_not_public():
    marks = {"end": Milestone("end", "The end", "a")}
    inputs = line(fixed("a", 4), milestones=marks)
    assert to_say(inputs, answer(inputs, draws=20)) == ()


def test_the_month_to_say_is_the_first_that_is_sure_enough():
    inputs = line(task("a", 0, 0, 60))
    reached = answer(inputs, draws=4_000).milestones["end"]
    # The 80 % point of 60 days with shapes 1 and 5 is 60 (1 - 0.2^(1/5)) = 16.5: 30 September.
    assert month_to_say(reached, 0.8, 4_000).name == "September 2026"
    # The 95 % point is 27.0 days: 10 October.
    month = month_to_say(reached, 0.95, 4_000)
    assert (month.name, month.last) == ("October 2026", DAY(2026, 10, 31))
    assert month.chance == reached.by(DAY(2026, 10, 31)) / 4_000


def test_a_date_that_is_asked_for_is_answered_in_a_sentence():
    inputs = line(CHANCY)
    reached = answer(inputs, draws=1_000)
    share = reached.milestones["end"].by(MONDAY) / 10
    said = plain(chance_sentence(inputs, reached, "end", MONDAY))
    assert said == f"The end by 14 September 2026: 3 chances in 5 ({share:.1f} %)."
