"""Unit and axes: the row first, then the format, then size and shape; and each said."""

from itertools import permutations

import numpy as np
import pytest

from line.heads import plain_head, sized
from numerics.mesh.shapes import box, joined, mesh, sphere, torus
from sixwright.kernel.errors import InputError
from sixwright.line.head_shape import AXES, Fits, frame_of, head_fits
from sixwright.line.mesh_guess import HEAD, HEAD_WITHIN_MM, FileSays, Meant, reading_of
from sixwright.line.meshes import UNIT_WORDS, UNITS_MM, MeshRef, ReadingBasis
from sixwright.reports.wording import words

SCULPT = plain_head()
FITS = head_fits(SCULPT)


def say(sentence):
    return words.say(sentence, "en-US").replace("\N{NO-BREAK SPACE}", " ")


STL, REF = FileSays("STL"), MeshRef("head.stl")
WAYS = [(up, front) for up, front in permutations(AXES, 2) if up[1] != front[1]]


def largest(made):
    return float((made.vertices.max(axis=0) - made.vertices.min(axis=0)).max())


def scaled(made, factor):
    return mesh(made.vertices * factor, made.faces)


def laid(made, up, front):
    """The head as a file with these axes has it: the inverse of reading it."""
    return mesh(made.vertices @ frame_of(up, front), made.faces)


def read(made, ref=REF, says=STL, meant=HEAD):
    fits = head_fits(made) if meant.head else Fits(())
    return reading_of(ref, says, fits, largest(made), meant)


def read_scaled(factor, says=STL):
    return reading_of(REF, says, sized(FITS, factor), largest(SCULPT) * factor)


def test_a_mesh_of_another_size_fits_as_well():
    """What `sized` takes for granted."""
    best = head_fits(scaled(SCULPT, 0.04)).ways[0]
    assert (best.up, best.front) == ("+y", "+z")
    assert best.off_mm == pytest.approx(FITS.ways[0].off_mm, rel=1e-3)
    assert best.size == pytest.approx(FITS.ways[0].size / 0.04, rel=1e-3)


def test_the_frame_of_an_axis_pair_is_a_rotation():
    for up, front in WAYS:
        frame = frame_of(up, front)
        assert np.linalg.det(frame) == pytest.approx(1)
        assert np.array_equal(frame @ frame.T, np.eye(3))
    assert np.array_equal(frame_of("+y", "+z"), np.eye(3))


@pytest.mark.parametrize(("up", "front"), [*WAYS[::7], ("+z", "-y")])
def test_a_head_says_which_way_up_it_is(up, front):
    told = read(laid(SCULPT, up, front))
    assert (told.up.value, told.front.value) == (up, front)
    assert (told.up.how, told.front.how) == (ReadingBasis.GUESSED, ReadingBasis.GUESSED)


@pytest.mark.parametrize(
    "made",
    [
        plain_head(neck=-90.0),
        plain_head(neck=-190.0),
        plain_head(nose=15.0),
        plain_head(stretched=(1, 1.12, 1)),
        plain_head(stretched=(1.1, 1, 1)),
        joined(
            SCULPT, mesh(sphere(1.0, 2).vertices * [16, 5, 18] + [0, 17, 0], sphere(1, 2).faces)
        ),
    ],
    ids=["short neck", "long neck", "flat nose", "long", "broad", "hat"],
)
def test_so_does_one_of_another_person_or_with_a_hat(made):
    told = read(laid(made, "+z", "-y"))
    assert (told.unit.value, told.up.value, told.front.value) == ("mm", "+z", "-y")


@pytest.mark.parametrize(
    "made",
    [box((2, 3, 4)), torus(), sphere(), joined(box((3, 5, 2)), box((1, 6, 1), (3, 0, 0)))],
    ids=["box", "torus", "ball", "two boxes"],
)
def test_what_is_no_head_says_nothing_and_the_usual_is_assumed(made):
    assert head_fits(made).ways[0].off_mm > HEAD_WITHIN_MM
    told = read(scaled(made, 50 / largest(made)))
    assert (told.up.value, told.front.value) == ("+y", "+z")
    assert (told.up.how, told.front.how) == (ReadingBasis.ASSUMED, ReadingBasis.ASSUMED)


@pytest.mark.parametrize("unit", ["mm", "cm", "in", "m"])
def test_a_head_at_one_sixth_says_its_unit(unit):
    told = read_scaled(1 / UNITS_MM[unit]).unit
    assert (told.value, told.how) == (unit, ReadingBasis.GUESSED)
    assert say(told.reason) == (
        f"in {UNIT_WORDS[unit]} its longest side is 44.7 mm, as that of a head at 1:6 should be"
    )


@pytest.mark.parametrize("unit", ["mm", "cm", "in", "m"])
def test_a_head_of_full_size_says_its_unit_and_that_it_is_one(unit):
    told = read_scaled(6 / UNITS_MM[unit]).unit
    assert (told.value, told.how) == (unit, ReadingBasis.GUESSED)
    assert say(told.reason) == (
        f"in {UNIT_WORDS[unit]} its longest side is 267.9 mm: the size of life, six times a head "
        "at 1:6; it was not scaled"
    )


def test_a_size_that_is_none_says_so():
    told = read_scaled(0.01).unit
    assert (told.value, told.how) == ("mm", ReadingBasis.ASSUMED)
    assert "in no unit is that a head at 1:6, nor one of full size" in say(told.reason)


def test_what_the_row_says_goes_before_all():
    told = read(SCULPT, MeshRef("head.stl", unit=" IN ", up="Z", front="−y"))
    assert (told.unit.value, told.up.value, told.front.value) == ("in", "+z", "-y")
    assert {told.unit.how, told.up.how, told.front.how} == {ReadingBasis.STATED}


def test_one_stated_axis_leaves_the_other_to_the_shape():
    for up, front in (("+z", "-y"), ("-x", "+y")):
        made = laid(SCULPT, up, front)
        assert read(made, MeshRef("a", up=up)).front.value == front
        assert read(made, MeshRef("a", front=front)).up.value == up


def test_a_glb_is_in_metres_where_that_gives_a_head():
    glb = FileSays("GLB", "m", "+y", "+z")
    told = read_scaled(0.001, says=glb)
    assert (told.unit.value, told.unit.how) == ("m", ReadingBasis.FORMAT)
    told = read_scaled(1, says=glb)  # a head of forty metres
    assert (told.unit.value, told.unit.how) == ("mm", ReadingBasis.GUESSED)


def test_a_unit_that_the_file_states_is_taken_where_the_shape_says_nothing():
    told = read(box(), says=FileSays("3MF", "cm", "+z"))
    assert (told.unit.value, told.unit.how) == ("cm", ReadingBasis.FORMAT)
    assert (told.up.value, told.up.how) == ("+z", ReadingBasis.FORMAT)
    assert (told.front.value, told.front.how) == ("-y", ReadingBasis.ASSUMED)


def test_a_thing_of_no_stated_size_is_in_millimetres_and_that_is_said():
    told = read(box(), meant=Meant("a key")).unit
    assert (told.value, told.how) == ("mm", ReadingBasis.ASSUMED)
    assert say(told.reason) == "nothing says how large it should be"


def test_a_thing_of_a_stated_size_says_its_unit():
    told = read(box((0.5, 0.1, 0.1)), meant=Meant("a key of 12.7 mm", 12.7)).unit
    assert told.value == "in"


@pytest.mark.parametrize(
    ("ref", "said"),
    [
        (MeshRef("a", unit="px"), "unit must be one of mm, cm, m, in, ft, um; received 'px'."),
        (MeshRef("a", up="yz"), "up must be one of +x, -x, +y, -y, +z, -z; received 'yz'."),
        (MeshRef("a", front=""), None),
        (MeshRef("a", up="z", front="-z"), "front must lie across up (+z); received '-z'."),
    ],
)
def test_a_row_that_cannot_be_is_refused(ref, said):
    if said is None:
        assert read(box(), ref).front.how is ReadingBasis.ASSUMED
        return
    with pytest.raises(InputError) as caught:
        read(box(), ref)
    assert str(caught.value) == said


def test_a_front_that_only_fits_one_usual_way_up():
    for front in AXES:
        told = read(box(), MeshRef("a", front=front), meant=Meant("a box"))
        assert told.up.value[1] != front[1]
    for up in AXES:
        told = read(box(), MeshRef("a", up=up), meant=Meant("a box"))
        assert told.front.value[1] != up[1]
