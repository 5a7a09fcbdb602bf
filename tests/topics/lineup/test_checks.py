"""What does not fit together is found, with the edit that settles it where there is one."""

import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.line.boxes import Announced
from sixwright.topics.lineup.checks import findings
from topics.builders import by_id, lineup_of, part, project, sold

HEAD = part("head", "head", fits=("neck-8",))
BODY = part("body", "body", takes=("neck-8", "wrist-4"))
HAND = part("hand", "hand", fits=("wrist-4",), grips=("key",))
KEY = part("key", "metal", held=("key",), group="keys")


def judged(held, *, sells=None, orders=None, parts=(HEAD, BODY, HAND, KEY)):
    line = project(
        parts=parts,
        sells=sells or [sold("box")],
        held=held if "box" in held else {"box": held},
        orders={"box": 10} if orders is None else orders,
    )
    return by_id(findings(*lineup_of(line)))


def test_a_whole_figure_holds():
    found = judged({"head": 1, "body": 1, "hand": 2, "key": 3})
    assert {f.verdict for f in found.values()} == {Verdict.HOLDS}
    assert len(found) == 4 + 3  # a finding a part, and joint, sizes and grip of the box


def test_a_part_in_no_box_is_found():
    found = judged({"head": 1, "body": 1, "hand": 2})["lineup.unused-part:part/key"]
    assert (found.verdict, found.measured.value, found.limit.value) == (Verdict.FAILS, 0, 1)


@pytest.mark.parametrize("without", ["head", "hand"])
def test_a_part_without_its_joint_is_found_and_a_body_offered(without):
    found = judged({without: 1})["lineup.joint:sells/box"]
    assert (found.verdict, found.measured.value) == (Verdict.FAILS, 1)
    assert (found.fix.id, dict(found.fix.cells)["quantity"]) == ("box/body", "1")


def test_a_head_of_another_size_neither_fits_nor_is_of_one_size():
    odd = part("head", "head", fits=("neck-9",))
    found = judged({"head": 1, "body": 1}, parts=(odd, BODY))
    assert found["lineup.joint:sells/box"].verdict is Verdict.FAILS
    assert found["lineup.joint-sizes:sells/box"].verdict is Verdict.FAILS
    assert found["lineup.joint-sizes:sells/box"].measured.value == 1


def test_two_joints_of_different_families_are_not_two_sizes():
    assert judged({"head": 1, "body": 1})["lineup.joint-sizes:sells/box"].verdict is Verdict.HOLDS


def test_a_head_whose_joint_is_not_known_is_unchecked_and_named():
    found = judged({"head": 1, "body": 1}, parts=(part("head", "head"), BODY))
    assert found["lineup.joint:sells/box"].verdict is Verdict.UNCHECKED
    assert found["lineup.joint:sells/box"].missing == ("parts/head/fits",)


def test_a_thing_that_no_hand_grips_is_counted_and_its_hand_offered():
    found = judged({"head": 1, "body": 1, "key": 4})["lineup.grip:sells/box"]
    assert (found.verdict, found.measured.value) == (Verdict.FAILS, 4)
    assert (found.fix.table, found.fix.id) == ("contents", "box/hand")
    assert dict(found.fix.cells) == {"sells": "box", "part": "hand", "quantity": "1"}


def test_a_hand_that_grips_something_else_is_no_help():
    other = part("fist", "hand", fits=("wrist-4",), grips=("rope",))
    found = judged({"body": 1, "fist": 2, "key": 1}, parts=(BODY, other, KEY))
    assert found["lineup.grip:sells/box"].verdict is Verdict.FAILS
    assert found["lineup.grip:sells/box"].fix is None


def extending(held, base):
    sells = [sold("box", extends="base"), sold("base")]
    packed = [HEAD, BODY, HAND, KEY, part("tray", "packing"), part("foot", "stand")]
    return judged({"box": held, "base": base}, sells=sells, parts=packed)[
        "lineup.extends:sells/box"
    ]


def test_an_edition_that_lacks_something_of_the_other_is_found():
    found = extending({"head": 1, "key": 1}, {"head": 1, "key": 3})
    assert (found.verdict, found.measured.value) == (Verdict.FAILS, 2)
    assert dict(found.fix.cells)["quantity"] == "3"


def test_packing_and_stand_stand_aside():
    found = extending({"head": 2}, {"head": 1, "tray": 1, "foot": 1})
    assert found.verdict is Verdict.HOLDS


def test_an_unknown_count_leaves_extends_unchecked():
    found = extending({"head": None}, {"head": 1})
    assert (found.verdict, found.missing) == (Verdict.UNCHECKED, ("contents/box/head/quantity",))


def set_of(orders, price=100):
    sells = [
        sold("box"),
        sold("other", price),
        sold("pair", is_set=True, editions=("box", "other")),
    ]
    return judged({"box": {"head": 1}, "other": {"body": 1}}, sells=sells, orders=orders)[
        "lineup.set-editions:sells/pair"
    ]


@pytest.mark.parametrize(
    ("orders", "price", "verdict"),
    [
        pytest.param({"box": 1, "other": 1}, 100, Verdict.HOLDS, id="both sold"),
        pytest.param({"box": 1, "other": 0}, 100, Verdict.FAILS, id="one has no orders"),
        pytest.param({"box": 1}, None, Verdict.FAILS, id="one has neither price nor orders"),
        pytest.param({"box": 1}, 100, Verdict.UNCHECKED, id="orders of one unknown"),
        pytest.param({"box": 1, "other": 1}, None, Verdict.UNCHECKED, id="price of one unknown"),
    ],
)
def test_a_set_of_editions_that_are_not_sold(orders, price, verdict):
    found = set_of(orders, price)
    assert found.verdict is verdict
    assert bool(found.missing) == (verdict is Verdict.UNCHECKED)
    assert (found.fix is not None) == (verdict is Verdict.FAILS)


@pytest.mark.parametrize(
    ("orders", "verdict"),
    [(9, Verdict.HOLDS), (10, Verdict.HOLDS), (11, Verdict.FAILS), (None, Verdict.UNCHECKED)],
)
def test_orders_above_a_cap(orders, verdict):
    found = judged({"head": 1}, sells=[sold("box", cap=10)], orders={"box": orders})
    assert found["lineup.cap:sells/box"].verdict is verdict


@pytest.mark.parametrize(
    ("held", "verdict"),
    [(5, Verdict.FAILS), (6, Verdict.HOLDS), (7, Verdict.HOLDS), (None, Verdict.UNCHECKED)],
)
def test_an_announced_count_is_held_against_the_box(held, verdict):
    sells = [sold("box", public=(Announced("keys", 6),))]
    found = judged({"key": held}, sells=sells)["lineup.announced:sells/box/keys"]
    assert found.verdict is verdict
    assert found.missing == (("contents/box/key/quantity",) if held is None else ())


def test_every_finding_that_does_not_hold_says_what_to_do():
    found = judged(
        {"head": 1, "key": 4}, sells=[sold("box", cap=1, public=(Announced("keys", 9),))]
    )
    bad = [f for f in found.values() if f.verdict is not Verdict.HOLDS]
    assert len(bad) == 6
    assert all(f.remedy for f in bad)


def test_a_body_whose_joints_are_not_known_is_unknown_not_missing():
    found = judged({"head": 1, "body": 1}, parts=(HEAD, part("body", "body")))
    joint = found["lineup.joint:sells/box"]
    assert joint.verdict is Verdict.UNCHECKED
    assert joint.missing == ("parts/body/takes",)
    assert joint.fix is None


def test_a_pack_of_heads_needs_no_body():
    assert "lineup.joint:sells/box" not in judged({"head": 2}, sells=[sold("box", figures=0)])
    assert judged({"head": 2})["lineup.joint:sells/box"].verdict is Verdict.FAILS
