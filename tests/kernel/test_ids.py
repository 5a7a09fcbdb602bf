"""Anchors of places: another one for every id, of characters that need no quoting."""

import re

from hypothesis import example, given
from hypothesis import strategies as st

from sixwright.kernel.ids import addresses, anchor, file_slug

texts = st.text(st.sampled_from("ab-/._:U4e2dé東京 ")) | st.text()


def read_back(name: str) -> str:
    """The id that an anchor was made of."""
    return re.sub(
        "_|U([0-9a-f]+)U", lambda found: "/" if found[0] == "_" else chr(int(found[1], 16)), name
    )


@given(texts)
@example("low-water/key")
@example("low/water-key")
@example("U2fU")
@example("a_b")
def test_an_anchor_can_be_read_back_so_that_no_two_ids_share_one(id_):
    assert read_back(anchor(id_)) == id_


@given(texts)
def test_an_anchor_needs_no_quoting_in_an_address_or_a_selector(id_):
    assert re.fullmatch("[A-Za-z0-9_-]*", anchor(id_))


def test_an_id_of_the_folder_stays_as_it_is():
    assert anchor("muster-watch/key-01") == "muster-watch_key-01"


# Devices of Windows: Microsoft, Naming Files, Paths, and Namespaces; from memory.
DEVICES = ("CON", "PRN", "AUX", "NUL", "COM1", "COM9", "LPT1", "LPT9")


@given(texts | st.sampled_from(DEVICES))
@example("CON")
@example("x" * 300)
@example("../../x")
def test_a_name_of_a_file_is_one_on_any_system(text):
    name = file_slug(text, otherwise="choice")
    assert re.fullmatch(r"[a-z][a-z0-9-]*", name)
    assert len(name) <= 62
    assert name.upper() not in DEVICES


@given(st.lists(texts, unique=True, max_size=8), st.randoms())
@example(["FA", "fa", "东莞甲", "东莞乙", "", "x" * 300, "x" * 301], None)
def test_no_two_names_share_an_address_whatever_their_order(names, random):
    made = addresses(names, otherwise="maker")
    assert len(set(made.values())) == len(names)
    assert all(re.fullmatch("[a-z][a-z0-9-]{0,70}", address) for address in made.values())
    turned = random.sample(names, len(names)) if random else names[::-1]
    assert addresses(turned, otherwise="maker") == made


def test_a_name_of_plain_letters_is_its_own_address():
    assert addresses(["Arden & Sons"], otherwise="maker") == {"Arden & Sons": "arden-sons"}
