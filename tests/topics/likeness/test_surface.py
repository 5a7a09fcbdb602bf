"""Landmarks against a mesh: on an ellipsoid, where all of it is a formula."""

import numpy as np
import pytest

from numerics.mesh.shapes import inside_out, mesh, sphere
from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.rotations import facing
from sixwright.topics.likeness.person.arrays import cast_of, outward_at
from sixwright.topics.likeness.sculpts import SurfaceMark
from sixwright.topics.likeness.surface import DISTANCE_MM, surface_of, viewpoints
from topics.likeness.test_checks import exact

AXES = np.array([13.0, 19.0, 16.0])
DIRECTIONS = np.random.Generator(np.random.Philox(3)).normal(size=(25, 3))
UNIT = DIRECTIONS / np.linalg.norm(DIRECTIONS, axis=1)[:, None]
PLACES = UNIT * AXES
NORMALS = UNIT / AXES / np.linalg.norm(UNIT / AXES, axis=1)[:, None]


def egg(rounds=6):
    ball = sphere(1.0, rounds)
    return mesh(ball.vertices * AXES, ball.faces)


EGG = egg()


def named(places):
    return {(f"l{i}", "mid"): place for i, place in enumerate(places)}


def found(made=EGG, places=PLACES, **more):
    return surface_of(made, named(places), **({"inside_out": False} | more)).marks


# A patch reaches 5 degrees to each side here, and its triangles are not the same on both.
NEAR_DEG = 1.0


def test_out_is_along_the_ellipsoids_normal():
    outward = np.array([mark.outward for mark in found()])
    assert np.degrees(np.arccos((outward * NORMALS).sum(axis=1))).max() < NEAR_DEG


def test_out_is_out_where_the_triangles_look_inward():
    turned = inside_out(EGG, *range(len(EGG.faces)))
    outward = np.array([mark.outward for mark in found(turned, inside_out=True)])
    assert ((outward * NORMALS).sum(axis=1) > 0.99).all()


def test_how_far_off_the_surface_is_measured_along_the_normal():
    off = np.linspace(0, 0.4, len(PLACES))
    marks = found(places=PLACES + off[:, None] * NORMALS)
    assert [mark.off_mm for mark in marks] == pytest.approx(off, abs=0.01)


def test_what_lies_far_off_has_no_direction_and_is_seen_from_nowhere():
    places = PLACES.copy()
    places[4] *= 1.2
    marks = found(places=places)
    assert (marks[4].outward, marks[4].seen_from) == (None, ())
    assert all(mark.outward for i, mark in enumerate(marks) if i != 4)


def test_landmarks_of_another_frame_have_no_direction_at_all():
    marks = found(places=PLACES + np.array([0, 60, 0]))
    assert not any(mark.outward for mark in marks)
    assert min(mark.off_mm for mark in marks) > 10


def test_a_place_of_a_convex_body_is_seen_where_it_faces_the_camera():
    middle = PLACES.mean(axis=0)
    wrong = 0
    for n, (yaw, pitch) in enumerate(viewpoints()):
        camera = facing(np.radians(yaw), np.radians(pitch))
        eye = middle - DISTANCE_MM * camera[2]
        cosine = ((eye - PLACES) / np.linalg.norm(eye - PLACES, axis=1)[:, None] * NORMALS).sum(1)
        seen = np.array([mark.seen_from[n] for mark in found.marks])
        # A place just beyond the limb lies less deep than counts as hidden.
        wrong += (seen != (cosine > 0))[(cosine > 0.02) | (cosine < -0.3)].sum()
    assert wrong == 0


found.marks = found()


def test_what_stands_before_a_place_hides_it():
    """A plate before the face: nothing is seen from straight ahead, all from the left as before."""
    plate = mesh([[-40, -40, 40], [40, -40, 40], [0, 60, 40]], [[0, 1, 2]])
    both = Mesh(
        np.vstack([EGG.vertices, plate.vertices]),
        np.vstack([EGG.faces, plate.faces + len(EGG.vertices)]).astype(np.int32),
    )
    ahead, left = viewpoints().index((0.0, 0.0)), viewpoints().index((105.0, 0.0))
    hidden, free = found(both), found.marks
    assert not any(mark.seen_from[ahead] for mark in hidden)
    assert any(mark.seen_from[ahead] for mark in free)
    assert [m.seen_from[left] for m in hidden] == [m.seen_from[left] for m in free]


def test_the_solver_takes_the_meshs_direction_and_the_table_where_there_is_none():
    inputs = exact()
    bare = cast_of(inputs, "who")
    tilted = tuple(np.array([0.1, 0.2, 0.97]) / np.linalg.norm([0.1, 0.2, 0.97]))
    folded = (0.0, 0.0, -1.0)  # a fold that looks into the head
    marks = (
        SurfaceMark("pronasale", "mid", 0.0, tilted),
        SurfaceMark("glabella", "mid", 0.0, folded),
        SurfaceMark("subnasale", "mid", 3.0),
    )
    told = cast_of(type(inputs)(**{n: getattr(inputs, n) for n in inputs.__slots__}
                                | {"surfaces": {"r1": marks}}), "who")  # fmt: skip
    row = {place[0][0]: i for i, place in enumerate(told.places)}
    assert told.outward[row["pronasale"]] == pytest.approx(tilted)
    for name in ("glabella", "subnasale"):
        assert np.array_equal(told.outward[row[name]], bare.outward[row[name]])
    assert np.array_equal(outward_at(bare.places, bare.start, {}), bare.outward)
