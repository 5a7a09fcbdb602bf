"""What is odd about a usable mesh, in the words that the producer reads."""

import numpy as np
import pytest

from line.heads import plain_head, sized
from numerics.mesh.shapes import box, inside_out, joined, mesh, sphere, tetrahedron, without
from sixwright.line.head_shape import Fits, frame_of, head_fits
from sixwright.line.mesh_guess import HEAD, FileSays, Meant, reading_of
from sixwright.line.mesh_oddities import FileFacts, Known, oddities_of
from sixwright.line.meshes import MeshRef, Odd
from sixwright.numerics.mesh.survey import survey
from sixwright.reports.wording import words

SCULPT = plain_head()


def say(sentence):
    return words.say(sentence, "en-US").replace("\N{NO-BREAK SPACE}", " ")


FITS = head_fits(SCULPT)
PLAIN = Meant("a mesh")


def known(made, *, ref=None, meant=PLAIN, fits=None, **facts):
    """All that is known of a mesh that was read as it is, in millimetres."""
    ref = ref or MeshRef("head.stl", unit="mm", up="y", front="z")
    told = survey(made)
    fits = fits or (head_fits(made) if meant.head else Fits(()))
    reading = reading_of(ref, FileSays("STL"), fits, told.largest_side, meant)
    return Known(ref, "0f" * 32, FileFacts("STL", len(made.faces), **facts), told, reading, fits,
                 meant)  # fmt: skip


def odd(made, **options):
    return {oddity.kind: oddity for oddity in oddities_of(known(made, **options))}


def scaled(made, factor):
    return mesh(made.vertices * factor, made.faces)


def only(found, kind):
    assert list(found) == [kind]
    assert say(found[kind].remedy)
    return say(found[kind].sentence)


def test_a_sound_head_is_not_odd():
    assert odd(SCULPT, meant=HEAD, fits=FITS) == {}


@pytest.mark.parametrize(
    ("factor", "words"),
    [
        (6, ("5.5 times as large as a head at 1:6 should be (its longest side is 267.9 mm); it was "
            "not scaled; it seems to be modelled at full size")),
        (25.4, ("23.3 times as large as a head at 1:6 should be (its longest side is 1,134.2 mm); "
               "it was not scaled; inches seem to be taken for millimetres, or converted "
               "twice")),
        (1 / 25.4, ("27.6 times as small as a head at 1:6 should be (its longest side is 1.8 mm); "
                   "it was not scaled; inches seem to be taken for millimetres, or converted "
               "twice")),
        (1 / 10, ("10.9 times as small as a head at 1:6 should be (its longest side is 4.5 mm); it "
                 "was not scaled; its centimetres or millimetres seem to be taken for each other")),
        (1 / 6, ("6.5 times as small as a head at 1:6 should be (its longest side is 7.4 mm); it "
                "was not scaled; it seems to have been scaled to 1:6 twice")),
        (2, ("1.8 times as large as a head at 1:6 should be (its longest side is 89.3 mm); it was "
            "not scaled")),
    ],
)  # fmt: skip
def test_a_head_that_is_too_large_or_small(factor, words):
    found = odd(scaled(SCULPT, factor), meant=HEAD, fits=sized(FITS, factor))
    said = only(found, Odd.SIZE)
    assert said.startswith("read in millimetres it is about ")
    assert said.split("about ")[1] == words
    assert found[Odd.SIZE].amount == pytest.approx(factor, rel=0.1)


@pytest.mark.parametrize("factor", [0.85, 1.2])
def test_another_persons_head_is_not_too_large(factor):
    assert odd(scaled(SCULPT, factor), meant=HEAD, fits=sized(FITS, factor)) == {}


def test_a_thing_of_a_known_length():
    key = box((12, 2, 1))
    assert odd(key, meant=Meant("the key", 12.0)) == {}
    said = only(odd(scaled(key, 6), meant=Meant("the key", 12.0)), Odd.SIZE)
    assert "about 6.0 times as large as the key should be" in said


def test_a_head_that_lies_on_its_face():
    lying = mesh(SCULPT.vertices @ frame_of("+z", "-y"), SCULPT.faces)
    said = only(odd(lying, meant=HEAD), Odd.ATTITUDE)
    assert said == (
        "read with +y up and +z to the front it does not have the shape of a head; with +z up and "
        "-y to the front it does"
    )


def test_a_head_that_is_inside_out():
    said = only(odd(inside_out(SCULPT), meant=HEAD, fits=FITS), Odd.INSIDE_OUT)
    assert said == "it is inside out: its triangles look inward"


def test_an_inner_surface_is_not_inside_out():
    assert odd(joined(box((9, 9, 9)), inside_out(box((5, 5, 5))))) == {}


def test_a_head_that_is_open_at_the_neck():
    low = SCULPT.vertices[SCULPT.faces][:, :, 1].max(axis=1) < -24
    cut = without(SCULPT, *np.flatnonzero(low))
    found = odd(cut, meant=HEAD, fits=FITS)
    said = only(found, Odd.OPEN)
    assert said.startswith("it is open at 1 place; the longest rim is ")
    around = float(said.split("rim is ")[1].split(" mm")[0])
    assert around == pytest.approx(2 * np.pi * 52 / 6, rel=0.06)


def test_corners_that_neighbours_do_not_share():
    loose = mesh(box().vertices[box().faces].reshape(-1, 3), np.arange(36))
    said = only(odd(loose), Odd.OPEN)
    assert said == (
        "100 % of its edges belong to one triangle alone: neighbours do not share their corners"
    )


def test_nothing_but_loose_triangles_lies_beside_no_body():
    sizes = np.geomspace(0.01, 1, 300)[:, None, None]
    places = (np.eye(3) * sizes + np.arange(300)[:, None, None] * 3).reshape(-1, 3)
    assert set(odd(mesh(places, np.arange(900)))) == {Odd.OPEN}


def test_two_heads_in_one_file():
    beside = mesh(SCULPT.vertices + np.array([40, 0, 0]), SCULPT.faces)
    said = only(odd(joined(SCULPT, beside)), Odd.TWO)
    assert said.startswith("it holds 2 bodies of much the same size, side by side")


def test_hair_of_its_own_is_not_a_second_head():
    hair = mesh(sphere(1, 3).vertices * [15, 14, 16] + [0, 6, -1], sphere(1, 3).faces)
    assert odd(joined(SCULPT, hair)) == {}


def test_the_same_head_twice_on_one_place():
    twice = mesh(SCULPT.vertices, np.concatenate([SCULPT.faces, SCULPT.faces[::-1]]))
    found = odd(twice)
    assert set(found) == {Odd.TWICE, Odd.CROWDED}
    assert say(found[Odd.TWICE].sentence) == (
        f"{len(SCULPT.faces):,} triangles (50.0 % of all) are in it more than once, on the very "
        "same places"
    )


def test_some_triangles_the_wrong_way_round():
    said = only(odd(inside_out(SCULPT, 100)), Odd.TURNED)
    assert said == "along 3 edges two triangles disagree which side is outside"


def test_surfaces_that_touch():
    pair = joined(box(), box(middle=(1, 1, 0)))
    places, label = np.unique(pair.vertices, axis=0, return_inverse=True)
    said = only(odd(mesh(places, label.ravel()[pair.faces])), Odd.CROWDED)
    assert said.startswith("at 1 edge more than two triangles meet")


def test_stray_pieces():
    crumbs = [
        mesh(tetrahedron().vertices * 0.1 + [30, i, 0], tetrahedron().faces) for i in range(7)
    ]
    said = only(odd(joined(SCULPT, *crumbs)), Odd.STRAY)
    assert said.startswith("7 loose pieces (28 triangles) lie beside the large one")


def test_a_million_stray_triangles_are_counted_and_nothing_stops():
    rng = np.random.Generator(np.random.Philox(3))
    corners = rng.uniform(-20, 20, (1_000_000, 1, 3)) + rng.uniform(0, 0.01, (1_000_000, 3, 3))
    stray = mesh(corners.reshape(-1, 3).astype(np.float32), np.arange(3_000_000), np.float32)
    found = odd(joined(SCULPT, stray))
    assert say(found[Odd.STRAY].sentence).startswith(
        "1,000,000 loose pieces (1,000,000 triangles) lie beside the large one"
    )


def test_triangles_without_area():
    flat = mesh(np.vstack([box().vertices, [[0, 0, 0], [1, 0, 0], [2, 0, 0]]]),
                np.vstack([box().faces, [[8, 9, 10]]]))  # fmt: skip
    found = odd(flat, collapsed=5)
    assert say(found[Odd.NO_AREA].sentence) == (
        "6 triangles (46.2 % of all) have no area; 5 of them were left out, because two of their "
        "corners lie on one place"
    )


def test_all_without_area_that_were_left_out_are_not_counted_twice():
    said = say(odd(box(), collapsed=5)[Odd.NO_AREA].sentence)
    assert said.endswith(
        "have no area; they were left out, because two of their corners lie on one place"
    )
    assert said.count("5") == 1


def test_points_of_no_triangle():
    said = only(odd(box(), unused=1_000_000), Odd.UNUSED)
    assert said == "1,000,000 points of no triangle were left out"


def test_a_head_far_from_the_origin_in_single_numbers():
    far = mesh(SCULPT.vertices + np.array([200_000, 0, 0]), SCULPT.faces, np.float32)
    found = odd(far, meant=Meant("a mesh"))
    assert say(found[Odd.COARSE].sentence).endswith("its places are only exact to 0.0119 mm")


def test_a_header_that_says_otherwise():
    assert only(odd(box(), promised=0), Odd.HEADER) == (
        "its header counts 0 triangles, the file holds 12 triangles; all of these were read"
    )
    assert only(odd(box(), left_over=14), Odd.HEADER) == (
        "after the 12 triangles that its header counts, 14 bytes more follow; they were not read"
    )


def test_a_name_that_says_another_format():
    ref = MeshRef("rounds/head.obj", unit="mm", up="y", front="z")
    assert only(odd(box(), ref=ref), Odd.NAMED) == (
        "its name says OBJ, its content is STL; it was read as what it is"
    )


def test_a_file_that_is_not_the_recorded_one():
    ref = MeshRef("head.stl", sha256="AB" * 32, unit="mm", up="y", front="z")
    assert only(odd(box(), ref=ref), Odd.CHANGED) == (
        "the file is not the one that was recorded: its checksum begins 0f0f0f0f, the recorded one "
        "abababab"
    )
