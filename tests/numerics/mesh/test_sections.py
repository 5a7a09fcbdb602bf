"""Where a plane cuts a mesh."""

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from numerics.mesh.shapes import box, inside_out, joined, sphere, torus, without
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.sections import section

Z = np.array([0, 0, 1.0])


def area(outline):
    """Signed, by the shoelace, seen against Z."""
    x, y, _ = outline.places.T
    return (x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2


def test_a_sphere_is_cut_in_a_circle():
    (outline,) = section(sphere(2.0, rounds=6), [0, 0, 1.2], 5 * Z)
    assert outline.closed
    assert outline.places[:, 2] == pytest.approx(np.full(len(outline.places), 1.2))
    assert outline.length == pytest.approx(2 * np.pi * 1.6, rel=1e-3)
    assert area(outline) == pytest.approx(np.pi * 1.6**2, rel=1e-3)


def test_a_torus_is_cut_in_two_rings_the_inner_run_the_other_way():
    outer, inner = sorted(section(torus(3, 1, 300, 300), [0, 0, 0.3], Z), key=area, reverse=True)
    half = np.sqrt(1 - 0.09)
    assert area(outer) == pytest.approx(np.pi * (3 + half) ** 2, rel=1e-3)
    assert area(inner) == pytest.approx(-np.pi * (3 - half) ** 2, rel=1e-3)


def test_a_plane_through_vertices_and_along_faces_still_closes():
    """The top of a box: its corners count as above, so the plane cuts just below."""
    (outline,) = section(box(), [0, 0, 0.5], Z)
    assert outline.closed
    assert area(outline) == pytest.approx(1)
    (outline,) = section(sphere(rounds=3), [0, 0, 0], Z)  # through a ring of vertices
    assert outline.closed
    assert section(box(), [0, 0, -0.5], Z) == ()


def test_faces_inside_out_turn_the_outline():
    (outline,) = section(inside_out(box()), [0, 0, 0.1], Z)
    assert area(outline) == pytest.approx(-1)


def test_an_open_mesh_gives_an_open_outline():
    made = box()
    side = int(np.flatnonzero((made.vertices[made.faces][:, :, 0] == 0.5).all(axis=1))[0])
    (outline,) = section(without(made, side), [0, 0, 0.1], Z)
    assert not outline.closed
    assert 3 < outline.length < 4


def test_a_plane_that_misses_cuts_nothing():
    assert section(box(), [0, 0, 9], Z) == ()


@given(st.integers(0, 2**32))
def test_a_general_library_says_the_same_length(seed):
    """trimesh, of random planes through two bodies."""
    rng = np.random.Generator(np.random.Philox(seed))
    made = joined(torus(3, 1, 20, 15, bumps=0.2), box((1, 2, 3), (0.3, 0.2, 4)))
    place, normal = rng.normal(0, 1, 3), rng.normal(size=3)
    told = section(made, place, normal)
    assert all(outline.closed for outline in told)
    theirs = trimesh.Trimesh(made.vertices, made.faces, process=False).section(normal, place)
    wanted = theirs.length if theirs is not None else 0
    assert sum(outline.length for outline in told) == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize("normal", [[0, 0, 0], [np.nan, 0, 1]])
def test_a_normal_without_a_direction_is_refused(normal):
    with pytest.raises(InputError, match="normal must be finite"):
        section(box(), [0, 0, 0], np.array(normal))
