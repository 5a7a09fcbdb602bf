"""Ways compared on small lines that can be worked out by hand: every number is invented."""

from dataclasses import replace
from fractions import Fraction
from itertools import permutations

import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.project.apply import apply
from sixwright.project.choices import Decision
from sixwright.project.records import Change
from sixwright.reports.wording.words import say
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.choose_checks import moves_most, recorded
from sixwright.workflows.choose_combine import extent, possible, selections
from sixwright.workflows.choose_model import Extent
from sixwright.workflows.compare import outcome_of
from sixwright.workflows.review import review
from workflows.open_lines import (
    BRASS,
    TODAY,
    bolt_and_nut,
    cell,
    choice,
    choosing,
    compared,
    line,
    with_choices,
)


def profits(compared):
    return {tuple(each.choose.values()): each.measures["profit"] for each in compared.combinations}


def findings(project):
    return {f.id: f for f in review(project, today=TODAY).findings if f.topic == "choices"}


def test_every_combination_is_worked_out_on_the_whole_line():
    # 100 boxes at 100 each. Steel 10, brass 6 and a tool of 300; hex 3, wing 150 pieces at 1.
    assert profits(compared(bolt_and_nut())) == {
        ("steel", "hex"): 10000 - 1000 - 300,
        ("brass", "hex"): 10000 - 600 - 300 - 300,
        ("steel", "wing"): 10000 - 1000 - 150,
        ("brass", "wing"): 10000 - 600 - 300 - 150,
    }


def test_the_best_profit_comes_first():
    found = compared(bolt_and_nut()).combinations
    assert [each.measures["profit"] for each in found] == [8950, 8850, 8800, 8700]


def test_the_first_way_differs_from_itself_by_nothing():
    for ways in compared(bolt_and_nut()).weighed.values():
        assert {value for value in ways[0].difference.values() if value is not None} == {0}
        assert ways[0].lead is None


def test_a_measure_rests_on_nothing_unknown():
    brass = compared(bolt_and_nut()).weighed["bolt"][1]
    assert brass.measures["lead_days"] is None
    assert brass.difference["lead_days"] is None
    assert brass.measures["mass_g/box"] == 10
    assert brass.difference["fixed"] == 300
    assert brass.difference["cash_asked"] == -100
    assert brass.difference["tied_up"] == 0


def test_the_longest_lead_is_that_of_the_slowest_part_needed():
    project = apply(bolt_and_nut(), [Change("ways", "steel", "lead_days", value="40"),
                                     Change("ways", "hex", "lead_days", value="55"),
                                     Change("ways", "brass", "lead_days", value="70")])  # fmt: skip
    ways = compared(project).weighed["bolt"]
    assert [each.measures["lead_days"] for each in ways] == [55, 70]


def test_a_choice_moves_the_last_public_milestone():
    # By hand, the first day being 14 September: a bolt of 40 or 70 days and a ship of 10, every day
    # counted, end on the 50th or 80th day; a milestone that is not public does not count.
    project = apply(
        bolt_and_nut(
            tasks=[{"id": "order", "part": "bolt"},
                   {"id": "sea", "likely_days": "10", "after": "order"},
                   {"id": "later", "likely_days": "10", "after": "sea"}],
            milestones=[{"id": "in", "task": "sea", "public": "yes"},
                        {"id": "kept", "task": "later", "public": "no"}],
        ),
        [Change("ways", "steel", "lead_days", value="40"),
         Change("ways", "brass", "lead_days", value="70")],
    )  # fmt: skip
    steel, brass = compared(project).weighed["bolt"]
    assert (steel.measures["p80"], brass.measures["p80"]) == (49, 79)  # days from the first
    assert brass.difference["p80"] == 30


def test_money_tied_up_and_the_findings_are_counted():
    project = apply(bolt_and_nut(), [Change("line", "line", "money.surplus_most", value="40")])
    wing = compared(project).weighed["nut"][1]
    assert wing.measures["tied_up"] == 50  # 150 bought, 100 wanted, at 1
    assert wing.difference["verdicts/fails"] == 1  # 50 is over 40


def test_an_alternative_with_an_unknown_price_is_unknown_and_beats_nothing():
    project = apply(bolt_and_nut(), [Change("prices", "brass/1", "unit_price", value="")])
    found = compared(project)
    brass = found.weighed["bolt"][1]
    assert brass.measures["profit"] is None
    assert brass.difference["profit"] is None
    assert not brass.lead.known
    assert all("brass" not in other.values()
               for each in found.combinations for other in each.beaten_by)  # fmt: skip
    finding = findings(project)["choices.open:choice/bolt"]
    assert finding.verdict is Verdict.UNCHECKED
    assert finding.missing == ("prices/brass/1/unit_price",)


def test_where_one_overtakes_another_is_exact():
    # Brass saves 4 a box and costs 300 once: it is ahead above 75 boxes.
    brass = compared(bolt_and_nut()).weighed["bolt"][1]
    assert brass.lead.ahead == ((Fraction(75), None),)


def test_a_lead_is_lost_where_a_minimum_binds():
    # Wing: 150 pieces at 1 whatever is wanted, against 3 each: ahead above 50 boxes, for good.
    wing = compared(bolt_and_nut()).weighed["nut"][1]
    assert wing.lead.ahead == ((Fraction(50), None),)


def test_a_way_can_lead_up_to_a_size_and_again_beyond_a_break():
    # Steel 10, from 200 on 2; brass 6 and 300: ahead from 75 to the piece before 200 is reached.
    prices = [
        {"way": "steel", "from_quantity": "1", "unit_price": "10"},
        {"way": "steel", "from_quantity": "200", "unit_price": "2"},
        {"way": "brass", "from_quantity": "1", "unit_price": "6"},
        {"way": "hex", "from_quantity": "1", "unit_price": "3"},
        {"way": "wing", "from_quantity": "1", "unit_price": "1"},
    ]
    brass = compared(bolt_and_nut(prices=prices)).weighed["bolt"][1]
    assert brass.lead.ahead == ((Fraction(75), Fraction(199)),)


def test_ways_that_assume_other_orders_have_no_common_size():
    more = [cell("orders", "box", "quantity", "100", "300")]
    documents = {"n": choice("How many?", "few", ("many", more))}
    many = compared(bolt_and_nut(documents)).weighed["n"][1]
    assert many.difference["profit"] == 2 * 8700
    assert not many.lead.known


def test_two_choices_of_different_parts_do_not_interact():
    assert compared(bolt_and_nut()).interactions == ()


def test_a_tool_for_both_is_paid_once_and_named():
    ways = [
        {"id": "steel", "part": "bolt"}, {"id": "hex", "part": "nut"},
        {"id": "brass", "part": "bolt", "tool": "press", "tooling": "500"},
        {"id": "wing", "part": "nut", "tool": "press", "tooling": "500"},
    ]  # fmt: skip
    (found,) = compared(bolt_and_nut(ways=ways)).interactions
    assert found.choose == {"bolt": "brass", "nut": "wing"}
    assert found.difference == {"profit": 500, "cash_asked": -500, "fixed": -500}
    assert "tooling of bolt and nut is shared" in say(found.cause, "en-GB")


def test_two_changes_of_one_order_interact_through_its_price_break():
    # A second and a third bolt in the box: 2 from 250 pieces on instead of 10.
    documents = {
        "a": choice("A?", "one", ("two", [cell("contents", "box/bolt", "quantity", "1", "2")])),
        "b": choice("B?", "hundred", ("more", [cell("orders", "box", "quantity", "100", "150")])),
    }
    prices = [
        {"way": "steel", "from_quantity": "1", "unit_price": "10"},
        {"way": "steel", "from_quantity": "250", "unit_price": "2"},
        {"way": "brass", "from_quantity": "1", "unit_price": "6"},
        {"way": "hex", "from_quantity": "1", "unit_price": "3"},
        {"way": "wing", "from_quantity": "1", "unit_price": "1"},
    ]
    (found,) = compared(bolt_and_nut(documents, prices=prices)).interactions
    # Bolts: 1000 as it stands, 2000 with two, 1500 with 150 boxes, 300 × 2 with both.
    assert found.difference["profit"] == -(600 - 2000 - 1500 + 1000)
    assert "order of bolt" in say(found.cause, "en-GB")


def test_alternatives_that_set_one_cell_exclude_each_other_by_name():
    documents = {
        "a": choice("A?", "now", ("dear", [cell("editions", "box", "price", "100", "120")])),
        "b": choice("B?", "now", ("cheap", [cell("editions", "box", "price", "100", "90")])),
    }
    found = compared(bolt_and_nut(documents))
    assert [each.choose for each in found.exclusions] == [{"a": "dear", "b": "cheap"}]
    assert "Price of box" in say(found.exclusions[0].cause, "en-GB")
    assert len(found.combinations) == 3


def test_a_row_that_one_removes_and_the_other_changes_excludes():
    documents = {
        "a": choice("A?", "in", ("out", [{"table": "contents", "id": "box/nut", "remove": True}])),
        "b": choice("B?", "one", ("two", [cell("contents", "box/nut", "quantity", "1", "2")])),
    }
    found = compared(bolt_and_nut(documents))
    assert [each.choose for each in found.exclusions] == [{"a": "out", "b": "two"}]


def test_what_can_only_be_read_apart_is_not_combined_and_says_why():
    documents = {
        "a": choice("A?", "steel", ("brass", BRASS)),
        "b": choice("B?", "keep", ("drop", [{"table": "ways", "id": "brass", "remove": True},
                                           {"table": "prices", "id": "brass/1", "remove": True}])),
    }  # fmt: skip
    all_ = compared(bolt_and_nut(documents))
    (found,) = all_.exclusions
    assert "brass" in say(found.cause, "en-GB")
    assert len(all_.combinations) == 3


@pytest.mark.parametrize("order", list(permutations(("bolt", "nut"))))
def test_the_order_of_choices_changes_nothing(order):
    project = bolt_and_nut()
    turned = replace(project, choices={id_: project.choices[id_] for id_ in order})
    one, other = compared(project), compared(turned)
    as_sets = [
        {(frozenset(c.choose.items()), c.measures["profit"],
          frozenset(frozenset(b.items()) for b in c.beaten_by)) for c in each.combinations}
        for each in (one, other)
    ]  # fmt: skip
    assert as_sets[0] == as_sets[1]


def test_the_order_of_alternatives_changes_nothing():
    three = ("brass", BRASS), ("cheap", [cell("prices", "steel/1", "unit_price", "10", "9")])
    one = compared(bolt_and_nut({"bolt": choice("?", "steel", *three)}))
    other = compared(bolt_and_nut({"bolt": choice("?", "steel", *reversed(three))}))
    assert profits(one) == profits(other)
    assert {w.id: w.difference for w in one.weighed["bolt"]} == {
        w.id: w.difference for w in other.weighed["bolt"]
    }


def test_too_many_ways_fall_back_to_pairs_and_then_to_each_alone():
    project = bolt_and_nut()
    many = {f"c{i}": project.choices["bolt"] for i in range(7)}
    assert (possible(many), extent(many)) == (128, Extent.PAIRS)
    assert len(list(selections(many, Extent.PAIRS))) == 1 + 7 + 21
    more = {f"c{i}": project.choices["bolt"] for i in range(12)}
    assert extent(more) is Extent.ALONE  # 1 + 12 + 66 pairs
    assert len(list(selections(more, Extent.ALONE))) == 13
    assert extent({f"c{i}": project.choices["bolt"] for i in range(6)}) is Extent.ALL


def test_an_open_choice_that_can_be_decided_holds_and_says_what_it_moves():
    finding = findings(bolt_and_nut())["choices.open:choice/nut"]
    assert finding.verdict is Verdict.HOLDS
    assert say(finding.message, "en-GB") == (
        "Which nut? “wing” would earn 150\N{NO-BREAK SPACE}USD more than “hex”."
    )


def test_the_choice_that_moves_the_most_is_named():
    choice_, sentence = moves_most(choosing(bolt_and_nut()))
    assert choice_.id == "nut"
    assert "150" in say(sentence, "en-GB")
    assert moves_most(choosing(with_choices(bolt_and_nut(), {}))) is None


def test_a_stale_was_is_a_finding_with_both_values_and_no_error_of_reading():
    project = apply(bolt_and_nut(), [Change("parts", "bolt", "way", value="brass")])
    finding = findings(project)["choices.open:choice/bolt"]
    text = say(finding.message, "en-GB")
    assert finding.verdict is Verdict.UNCHECKED
    assert "“steel”" in text
    assert "“brass”" in text
    assert finding.missing == ("parts/bolt/way",)
    assert finding.remedy
    assert findings(project)["choices.open:choice/nut"].verdict is Verdict.HOLDS
    weighed = compared(project).weighed["bolt"][1]
    assert (weighed.measures, weighed.difference) == (None, None)
    assert weighed.problems


def taken(project, numbers):
    choice_ = project.choices["bolt"]
    settled = replace(choice_, taken=Decision("brass", TODAY, "Ada", "it saves", numbers))
    return replace(project, choices=dict(project.choices) | {"bolt": settled})


def with_brass():
    project = apply(bolt_and_nut(), [Change("parts", "bolt", "way", was="steel", value="brass")])
    return taken(project, recorded(choosing(project).measures))


def test_a_taken_choice_holds_while_its_numbers_do():
    assert findings(with_brass())["choices.taken:choice/bolt"].verdict is Verdict.HOLDS


def test_a_taken_choice_is_doubtful_once_its_numbers_moved_and_names_them():
    moved = apply(with_brass(), [Change("prices", "brass/1", "unit_price", value="7")])
    finding = findings(moved)["choices.taken:choice/bolt"]
    assert finding.verdict is Verdict.DOUBTFUL
    text = say(finding.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ")
    assert "profit went from 8,800.00 USD to 8,700.00 USD" in text
    assert finding.measured.value == 4  # profit, cash asked, break-even, margin of the box


def test_a_taken_choice_without_numbers_is_unchecked():
    finding = findings(taken(with_brass(), {}))["choices.taken:choice/bolt"]
    assert finding.verdict is Verdict.UNCHECKED
    assert finding.missing


def test_a_taken_choice_is_not_tried_again():
    assert set(choosing(with_brass()).open) == {"nut"}


def test_a_line_without_choices_is_not_judged_by_them():
    project = with_choices(bolt_and_nut(), {})
    assert "choices" not in review(project, today=TODAY).verdicts
    assert compared(project).combinations == ()


def test_a_trial_judges_as_a_review_of_the_changed_line_does():
    project = bolt_and_nut()
    stands = review(project, today=TODAY)
    for chosen in ({"bolt": "brass"}, {"nut": "wing"}, {"bolt": "brass", "nut": "wing"}):
        ways = [project.choices[id_].alternative(alt) for id_, alt in chosen.items()]
        changes = [change for way in ways for change in way.changes]
        whole = review(replace(apply(project, changes), choices={}), today=TODAY)
        tried = outcome_of(stands, chosen)
        assert {f.id: f.verdict for f in tried.findings if f.topic != "choices"} == {
            f.id: f.verdict for f in whole.findings
        }
        assert tried.of(MONEY).profit == whole.of(MONEY).profit


def test_nothing_to_combine_is_no_error():
    assert compared(line({})).possible == 1


def test_a_dearer_box_overtakes_where_what_it_adds_has_paid_its_tool():
    # 4 more a box, and a tool of 300: ahead above 75 boxes, all parts costing the same.
    dear = [
        cell("editions", "box", "price", "100", "104"),
        cell("ways", "steel", "tooling", "0", "300"),
    ]
    project = bolt_and_nut({"a": choice("A?", "now", ("dear", dear))})
    way = compared(project).weighed["a"][1]
    assert way.difference["profit"] == 400 - 300
    assert way.lead.ahead == ((Fraction(75), None),)


def test_money_tied_up_is_unknown_while_one_price_is():
    project = apply(bolt_and_nut(), [Change("prices", "brass/1", "unit_price", value="")])
    assert compared(project).weighed["bolt"][1].measures["tied_up"] is None
