"""What words suggest, what buyers and workshops are told, and what the rules say of themselves."""

from datetime import date

import pytest

from sixwright.kernel.sentences import Names
from sixwright.line.boxes import HAZARDS as WORDS
from sixwright.reports.wording.words import say
from sixwright.topics.care.cautions import for_boxes, for_buyers, hazards_of_box, not_stated
from sixwright.topics.care.regulations import REGULATIONS, TAKEN_DOWN, Sure
from sixwright.topics.care.suggestions import suggestions
from sixwright.topics.care.workshop import BENCHES, at_the_bench
from topics.builders import part, way


def suggested(process, kind="prop", name=""):
    found = suggestions(part("bolt", kind, name=name), [way("bolt", process=process)])
    return {each.hazard: each.names_it for each in found}


@pytest.mark.parametrize(
    ("process", "hazards"),
    [
        ("N42, 6 × 3 mm", {"magnet": True}),
        ("ABS with magnets", {"magnet": True}),
        ("ABS, two button cells", {"cell": True}),
        ("CR2032 in a drawer", {"cell": True}),
        ("LR44", {"cell": True}),
        ("2 Knopfzellen", {"cell": True}),
        ("deux piles bouton", {"cell": True}),
        ("2 pilas de botón", {"cell": True}),
        ("pile a bottone", {"cell": True}),
        ("aimants", {"magnet": True}),
        ("Magnete", {"magnet": True}),
        ("two AA batteries", {"cell": False}),
        ("LR6", {}),
        ("0.8 mm steel", {"sharp": False}),
        ("wool with hem wire", {"point": False}),
        ("needle and blade", {"point": True, "sharp": True}),
        ("8 LED, USB-C and lead", {"hot": False, "mains": False, "cord": False}),
        ("230 V supply", {"mains": True}),
        ("glass dome", {"glass": True}),
        ("fibreglass", {}),
        ("tinted PVC", {}),
        ("leader of the pack", {}),
        ("rotocast", {}),
        ("", {}),
    ],
)
def test_a_process_suggests_what_its_words_name(process, hazards):
    assert suggested(process) == hazards


@pytest.mark.parametrize(
    ("kind", "hazards"),
    [("base", {"magnet"}), ("light", {"hot", "mains"}), ("metal", {"sharp"}), ("head", set())],
)
def test_a_kind_suggests_what_it_often_has(kind, hazards):
    assert set(suggested("", kind)) == hazards


def test_a_name_counts_as_a_process_does():
    assert suggested("", name="Glass, of wine") == {"glass": True}


def texts(hazards):
    return [say(sentence, "en-GB") for sentence in for_buyers(hazards)]


def test_magnets_and_cells_are_told_to_buyers_in_the_usual_words():
    assert texts({"magnet", "cell"}) == [
        "Contains small magnets and button cells. Dangerous if swallowed. Keep away from children.",
        "If one may have been swallowed, get medical help at once.",
    ]


def test_where_nothing_is_known_nothing_is_said():
    assert texts(set()) == []
    assert list(for_boxes({"box": set()})) == []


@pytest.mark.parametrize("word", WORDS)
def test_every_hazard_has_its_caution(word):
    assert texts({word})


def test_boxes_of_the_same_hazards_are_told_together_and_none_is_left_out():
    hazards = {
        "a": {"sharp"},
        "b": {"sharp", "magnet"},
        "c": {"sharp", "magnet", "cell", "point"},
    }
    found = dict(for_boxes(hazards))
    assert list(found) == [("b", "c"), ("c",), ("a", "b", "c")]
    for box, words in hazards.items():
        said = [s for boxes, sentences in found.items() if box in boxes for s in sentences]
        named = {text for s in said for v in s.values.values() for text in v.texts}
        expected = {s.values["things"].texts for s in for_buyers(words) if "things" in s.values}
        assert named == {text for names in expected for text in names}
    assert isinstance(found["b", "c"][0].values["things"], Names)


@pytest.mark.parametrize(
    ("process", "work"),
    [
        ("clear resin", {"Resin", "Dust"}),
        ("bronze, lost wax", {"Metal", "Dust"}),
        ("painted, two coats of lacquer", {"Paint and solvents"}),
        ("soldered LED", {"Metal", "Electrics"}),
        ("sewn", set()),
        ("soft PVC", set()),
    ],
)
def test_a_process_has_the_cautions_of_its_work(process, work):
    made = way("bolt", process=process)
    assert set(at_the_bench({"bolt": part("bolt")}, {made.id: made})) == work


def test_a_way_that_is_not_chosen_asks_for_no_caution():
    made = way("bolt", process="clear resin")
    assert at_the_bench({"bolt": part("bolt", way=None)}, {made.id: made}) == {}


def test_the_cautions_of_a_workshop_leave_the_last_word_to_others():
    text = " ".join(bench.caution for bench in BENCHES)
    assert "safety data sheet" in text
    assert "licensed electrician" in text


def test_each_rule_says_where_it_holds_what_it_leaves_out_and_how_sure_we_are():
    assert len({each.key for each in REGULATIONS}) == len(REGULATIONS) > 10
    for each in REGULATIONS:
        assert all((each.title, each.jurisdiction, each.edition, each.says, each.leaves_out))
        assert set(each.hazards) <= set(WORDS)
        if each.sure is Sure.MEMORY and "EN 71" in each.title:
            assert "not known" in each.edition


def test_every_hazard_but_the_plainest_has_a_rule_of_law_or_a_standard():
    covered = {word for each in REGULATIONS for word in each.hazards}
    assert set(WORDS) - covered == {"hot", "mains"}


def test_the_age_of_a_reading_is_counted_in_months():
    one = REGULATIONS[0]
    assert one.age_months(TAKEN_DOWN) == 0
    assert one.age_months(date(2020, 1, 1)) == 0
    later = TAKEN_DOWN.replace(year=TAKEN_DOWN.year + 2)
    assert (one.age_months(later), one.age_months(later.replace(day=24))) == (24, 23)


def sized(id_, size, **rest):
    return part(id_, **dict(zip(("length_mm", "width_mm", "height_mm"), size, strict=True)), **rest)


def test_a_box_has_small_parts_by_their_size_though_none_is_stated():
    parts = {"peg": sized("peg", (9, 3, 3)), "rod": sized("rod", (90, 3, 3))}
    assert hazards_of_box(parts, {"peg": 2, "rod": 1}) == {"small-part"}
    assert hazards_of_box(parts, {"rod": 1}) == frozenset()


def test_what_is_not_in_a_box_is_neither_warned_of_nor_asked_for_there():
    parts = {"disc": part("disc", hazards=("magnet",)), "case": part("case", hazards=None)}
    assert hazards_of_box(parts, {"disc": 0, "case": 0}) == frozenset()
    assert not_stated(parts, {"disc": 0, "case": 0}) == ()
    assert hazards_of_box(parts, {"disc": None, "case": None}) == {"magnet"}
    assert not_stated(parts, {"disc": None, "case": None}) == ("case",)
