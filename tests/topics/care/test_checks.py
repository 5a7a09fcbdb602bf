"""What is asked, what is judged of a stated hazard, and that nothing is ever called safe."""

import json
from dataclasses import replace

import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.line.boxes import HAZARDS as WORDS
from sixwright.reports.wording.words import say
from sixwright.topics.care.compute import answer
from sixwright.topics.care.doubts import CareDoubt
from sixwright.topics.care.hazards import BY_WORD, HAZARDS
from sixwright.topics.care.model import Inputs, as_json
from sixwright.topics.care.topic import CARE
from topics.builders import by_id, part, sold, way


def inputs(*parts, ways=(), held=None):
    boxes = {"box": dict.fromkeys((each.id for each in parts), 1)} if held is None else held
    return Inputs(
        line="line",
        parts={each.id: each for each in parts},
        ways={each.id: each for each in ways},
        sells={sells: sold(sells) for sells in boxes},
        contents=boxes,
    )


def judged(*parts, ways=()):
    asked = inputs(*parts, ways=ways)
    return by_id(CARE.findings(asked, answer(asked)))


def said(finding):
    return say(finding.message, "en-GB")


def test_every_word_of_the_column_is_a_hazard_and_has_its_rule():
    assert tuple(hazard.word for hazard in HAZARDS) == WORDS
    rules = {rule.id for rule in CARE.rules}
    assert set(WORDS) - rules == {"small-part"}
    assert rules - set(WORDS) == {"stated"}


def test_a_part_of_which_nothing_is_stated_is_asked_for_by_its_process():
    made = way("bolt", process="ABS, two button cells")
    found = judged(part("bolt", name="Lantern", hazards=None), ways=[made])
    asked = found["care.stated:part/bolt"]
    assert asked.verdict is Verdict.UNCHECKED
    assert asked.missing == ("parts/bolt/hazards",)
    assert said(asked) == (
        "Lantern: Are there button or coin cells in it? It says “button cells” in its process."
    )
    assert set(found) == {"care.stated:part/bolt"}


def test_several_words_that_suggest_a_hazard_are_a_list():
    nail = part("bolt", name="Nail, bronze", hazards=None)
    found = judged(nail, ways=[way("bolt")])
    assert said(found["care.stated:part/bolt"]).endswith("says “bronze” and “Nail” in its name.")


def test_a_part_is_asked_for_by_what_is_noted_on_it_or_on_its_quote():
    lit = part("bolt", name="Lantern", hazards=None)
    asked = replace(inputs(lit, ways=[way("bolt")]), part_notes={"bolt": "2 button cells"})
    found = by_id(CARE.findings(asked, answer(asked)))
    assert said(found["care.stated:part/bolt"]) == (
        "Lantern: Are there button or coin cells in it? It says “button cells” in its note."
    )
    quote = way("bolt")
    asked = replace(inputs(lit, ways=[quote]), quote_notes={quote.id: "CR2032 not included"})
    assert [each.hazard for each in answer(asked).parts["bolt"].asked] == ["cell"]
    other = replace(asked, quote_notes={"of-another": "CR2032"})
    assert answer(other).parts["bolt"].asked == ()


def test_a_note_is_asked_about_also_where_another_hazard_is_stated():
    stated = part("bolt", name="Lantern", hazards=("hot",))
    asked = replace(inputs(stated, ways=[way("bolt")]), part_notes={"bolt": "2 button cells"})
    finding = by_id(CARE.findings(asked, answer(asked)))["care.stated:part/bolt"]
    assert (finding.verdict, finding.seen.doubt) == (Verdict.DOUBTFUL, CareDoubt.NAMED)


def test_a_base_is_asked_for_magnets_by_its_kind():
    found = judged(part("bolt", "base", name="Base plate", hazards=None))
    assert said(found["care.stated:part/bolt"]) == (
        "Base plate: Are there magnets in it? It is of the kind base."
    )


def test_what_nothing_suggests_is_one_finding_of_the_line():
    parts = [part(f"bolt-{n}", hazards=None) for n in range(5)]
    (found,) = judged(*parts).values()
    assert found.id == "care.stated:line/line"
    assert found.verdict is Verdict.UNCHECKED
    assert found.missing == tuple(f"parts/bolt-{n}/hazards" for n in range(5))
    assert said(found) == (
        "What could hurt on 5 parts is not stated: bolt-0, bolt-1, bolt-2 and 2 more."
    )


def test_what_is_stated_is_not_asked_again_for_a_hint():
    found = judged(part("bolt", "metal", hazards=("none",)))
    assert found["care.stated:part/bolt"].verdict is Verdict.HOLDS


def test_what_a_name_says_outright_is_asked_though_something_else_is_stated():
    found = judged(part("bolt", name="Magnet, small", hazards=("small-part",)))
    asked = found["care.stated:part/bolt"]
    assert (asked.verdict, asked.doubt) == (Verdict.DOUBTFUL, CareDoubt.NAMED)
    assert asked.measured.value == 1
    assert "Are there magnets in it?" in said(asked)


@pytest.mark.parametrize("word", [word for word in WORDS if word not in {"magnet", "small-part"}])
def test_a_stated_hazard_waits_for_a_test(word):
    found = judged(part("bolt", hazards=(word,)))
    finding = found[f"care.{word}:part/bolt"]
    assert (finding.verdict, finding.doubt) == (Verdict.UNCHECKED, CareDoubt.UNTESTED)
    assert BY_WORD[word].short in said(finding)
    assert finding.remedy is not None
    assert "accredited laboratory" in say(finding.remedy, "en-GB")


@pytest.mark.parametrize(
    ("process", "verdict", "words"),
    [
        ("N42, 6 × 3 mm", Verdict.FAILS, "must not come loose: its flux index is about 463"),
        ("N35, 3 × 1 mm", Verdict.DOUBTFUL, "may be too strong"),
        ("N35, 2 × 1 mm", Verdict.HOLDS, "That is a number, and no test."),
        ("neodymium", Verdict.UNCHECKED, "cannot be said yet"),
    ],
)
def test_a_magnet_is_held_against_what_a_loose_one_may_be(process, verdict, words):
    found = judged(part("bolt", hazards=("magnet",)), ways=[way("bolt", process=process)])
    finding = found["care.magnet:part/bolt"]
    assert finding.verdict is verdict
    assert words in said(finding)
    assert finding.missing == (("ways/bolt-way/process",) if verdict is Verdict.UNCHECKED else ())


def test_a_magnet_without_a_way_waits_for_its_way():
    found = judged(part("bolt", hazards=("magnet",), way=None))
    assert found["care.magnet:part/bolt"].missing == ("parts/bolt/way",)


def test_a_small_part_needs_no_finding_of_its_own():
    found = judged(part("bolt", hazards=("small-part",)))
    assert set(found) == {"care.stated:part/bolt"}


def test_nothing_is_worded_as_safe():
    """No message, remedy, caution or doubt has the word, whatever is stated."""
    every = [part(f"p-{word}", hazards=(word,)) for word in WORDS]
    every += [part("p-none", hazards=("none",)), part("p-open", hazards=None)]
    ways = [way(f"p-{word}", process="N35, 2 × 1 mm") for word in WORDS]
    texts = []
    for finding in judged(*every, ways=ways).values():
        texts.append(said(finding))
        texts += [say(finding.remedy, "en-GB")] if finding.remedy else []
    assert len(texts) > 15
    assert [text for text in texts if "safe" in text.replace("safety data sheet", "")] == []
    assert "no test was made of it" in said(judged(every[-2])["care.stated:part/p-none"])


def test_what_is_not_held_is_no_hazard_of_a_box():
    found = answer(
        inputs(
            part("bolt", hazards=("magnet",)),
            part("nut", hazards=("cord",)),
            held={"box": {"bolt": 0, "nut": None}, "other": {"bolt": 2}},
        )
    )
    assert found.boxes == {"box": {"cord"}, "other": {"magnet"}}


def test_the_json_is_plain_and_says_null_for_what_is_not_known():
    made = way("bolt", process="N42, 6 × 3 mm")
    asked = inputs(part("bolt", hazards=("magnet",)), part("nut", hazards=None), ways=[made])
    data = json.loads(json.dumps(as_json(answer(asked)), allow_nan=False))
    assert data["parts"]["nut"] == {
        "stated": None, "asked": [], "small_part": None, "flux_index": None,
    }  # fmt: skip
    assert data["parts"]["bolt"]["flux_index"]["value"] == pytest.approx(462.5, abs=0.1)
    assert data["boxes"]["box"] == {"hazards": ["magnet"], "not_stated": ["nut"]}


def test_a_line_without_parts_is_not_asked():
    assert CARE.is_empty(inputs())
    assert not CARE.is_empty(inputs(part("bolt")))


def test_the_answer_follows_the_inputs_alone():
    asked = inputs(part("bolt", hazards=("cell",)))
    assert answer(asked) == answer(replace(asked))
