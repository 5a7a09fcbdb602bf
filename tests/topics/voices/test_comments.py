"""Comments: what folds away, who counts, what belongs together, in many scripts."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.topics.voices.comments import alike, fold
from sixwright.topics.voices.model import GroupedBy
from topics.voices.builders import comment, hear


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("The CAPE, please!", "the cape please"),
        ("Café à la crème", "cafe a la creme"),
        ("Straße", "strasse"),
        ("smørrebrød Łódź Æsir cœur", "smorrebrod lodz aesir coeur"),
        ("ΛΌΓΟΣ", "λογος".replace("ς", "σ")),
        ("ёлка", "елка"),
        ("مِجْدَاف", "مجداف"),
        ("شَـــعر", "شعر"),
        ("שָׁלוֹם", "שלום"),
        ("\u202bמשוט\u202c\u200f!", "משוט"),
        ("teeth-baring", "teeth baring"),
        ("l’œil, l'eau", "l oeil l eau"),
        ("頭が大きい", "頭 か\u3099 大 き い".replace("か\u3099", "が")),
        ("ｆｕｌｌ　width", "full width"),
        ("no🔥way ❤️ 👍🏽", "no 🔥 way ❤ 👍"),
        ("क्या", "क्या"),
        ("zero\u200bwidth so\u00adft", "zerowidth soft"),
        ("…!?", ""),
    ],
)
def test_what_folds_away_and_what_stays(text, folded):
    assert fold(text) == folded


@given(st.text())
def test_folding_twice_changes_nothing_and_leaves_single_spaces(text):
    once = fold(text)
    assert once == " ".join(once.split())
    assert fold(once) == once


@pytest.mark.parametrize(
    ("words", "text", "there"),
    [
        ("tooth*", "His TOOTHY grin", True),
        ("tooth", "His toothy grin", False),
        ("tooth", "One tooth.", True),
        ("queue", "enqueue it", False),
        ("night watch*", "the Night-Watchman stands", True),
        ("night watch*", "night and watch", False),
        ("crème", "CREME", True),
        ("größe*", "GRÖSSENWAHN", True),
        ("頭", "この頭が好き", True),
        ("頭が", "頭は", False),
        ("משוט", "אהבתי את המשוט", False),
        ("משוט*, המשוט*", "אהבתי את המשוטים", True),
        ("🔥", "so hot 🔥🔥", True),
        ("a.b", "a b", True),
        ("a.b", "axb", False),
        ("*", "anything", False),
        ("(", "(", False),
    ],
)
def test_words_find_what_they_say(words, text, there):
    found = hear(text, subjects={"s": words}).subjects["s"]
    assert (found.voters, len(found.comments)) == (int(there), int(there))


def test_voters_count_not_posts_and_an_unknown_one_counts_each_time():
    told = [comment("the cape", i, voter=who) for i, who in enumerate(["ann", "ann", None, None])]
    found = hear(*told, subjects={"cape": "cape*"}).subjects["cape"]
    assert (found.voters, len(found.comments)) == (3, 4)


def test_new_is_what_came_after_the_last_look():
    days = [dt.date(2026, 9, 1), dt.date(2026, 9, 2), None]
    told = [comment("the cape", i, date=day) for i, day in enumerate(days)]
    assert hear(*told, subjects={"cape": "cape"}).subjects["cape"].since == 3
    found = hear(*told, subjects={"cape": "cape"}, since=dt.date(2026, 9, 1)).subjects["cape"]
    assert found.since == 1


def test_answered_comments_no_longer_wait():
    told = [comment("the cape", i, voter=f"v{i}", answered=a) for i, a in
            enumerate([None, "2026-09-01", "ask-cape"])]  # fmt: skip
    found = hear(*told, subjects={"cape": "cape"}).subjects["cape"]
    assert (found.voters, found.open_voters) == (3, 1)


def groups(answer, how):
    return [g for g in answer.groups if g.how is how]


def test_texts_that_are_nearly_the_same_are_one_group():
    answer = hear(
        "Please give him back the crooked nose of the first sketch",
        "please give him back the crooked nose of the first sketch!!",
        "Please give him back the croked nose of the first sketch",
        "of the first sketch please give him back that crooked nose",
        "Please give him a longer cape",
        subjects={"nose": "nose*"},
    )
    (same,) = groups(answer, GroupedBy.ALIKE)
    assert same.comments == ("c0", "c1", "c2", "c3")
    assert (same.subject, same.voters) == ("nose", 4)


def test_short_texts_are_alike_only_where_they_are_equal():
    assert alike([fold(t) for t in ("want!", "Want", "wand", "", "")]) == [[0, 1]]


def test_one_voter_who_says_it_five_times_is_one():
    said = "Bring back the lantern please, all of us want it"
    told = [comment(said, i, voter="ann") for i in range(5)]
    (same,) = groups(hear(*told), GroupedBy.ALIKE)
    assert (same.voters, len(same.comments)) == (1, 5)


def test_a_word_that_no_subject_has_makes_a_group_across_spellings_and_languages():
    answer = hear("Does the lantern glow?", "La lanterne s'allume ?", "¿La linterna se enciende?",
                  "Leuchtet die Laterne?", "the cape glows")  # fmt: skip
    (found, *_rest) = groups(answer, GroupedBy.WORD)
    assert found.comments == ("c0", "c1", "c2", "c3")
    assert found.subject is None
    assert set(found.words) == {"lantern", "lanterne", "linterna", "laterne"}


def test_a_comment_is_in_one_group_by_word_at_most():
    told = [f"the lantern and its {part}" for part in ("handle", "handle", "handle", "glass")]
    found = groups(hear(*told, "handle it", "a handle", "no handle"), GroupedBy.WORD)
    members = [key for group in found for key in group.comments]
    assert sorted(members) == sorted(set(members))
    assert found[0].name == "handle"


def test_words_that_say_nothing_make_no_group():
    answer = hear("when is it there", "it is there", "is there when it was", "und das ist es",
                  "das ist nicht da", "ist das da")  # fmt: skip
    assert groups(answer, GroupedBy.WORD) == []


def test_a_slip_of_the_pen_is_still_on_the_subject():
    """Words of the subject count exactly; its group also takes what is spelt nearly alike."""
    answer = hear("lantern!", "The lantern", "my lantren", subjects={"light": "lantern*"})
    assert answer.subjects["light"].comments == ("c0", "c1")
    (group,) = groups(answer, GroupedBy.SUBJECT)
    assert (group.comments, group.words) == (("c0", "c1", "c2"), ("lantren",))


def test_hundreds_of_equal_texts_are_one_group():
    (same,) = groups(hear(*["Bring back the lantern of the first sketch"] * 900), GroupedBy.ALIKE)
    assert same.voters == 900


def test_a_text_that_thousands_paste_with_a_word_of_their_own_is_one_group():
    said = "Bring back the lantern of the first sketch, we all want it lit"
    texts = [fold(f"{said} x{i}") for i in range(3000)]
    found = alike(texts)
    assert len(max(found, key=len)) >= 2950


def test_odd_texts_are_heard_without_a_word():
    odd = ["\x00\x01", "\N{REPLACEMENT CHARACTER}", "a" * 200_000, "🏳️‍🌈👨‍👩‍👧‍👦" * 500, "ﷺ" * 50,
           "Z̸̢a̷l̴g̶o̵" * 100, "\N{RIGHT-TO-LEFT OVERRIDE}" * 99, "]]>", "%s{}"]  # fmt: skip
    answer = hear(*odd, subjects={"s": "a*, 🏳, {}, ["})
    assert answer.subjects["s"].voters == 2


@given(st.lists(st.text("ab c!", max_size=30), max_size=12))
def test_groups_of_texts_alike_are_disjoint_and_two_or_more(texts):
    found = alike([fold(text) for text in texts])
    members = [i for group in found for i in group]
    assert len(members) == len(set(members))
    assert all(len(group) > 1 for group in found)
