"""Corners on one place become one vertex, whatever the hash does."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from numerics.mesh.shapes import box, mesh, soup, sphere, torus
from sixwright.numerics.mesh import weld
from sixwright.numerics.mesh.closure import closure
from sixwright.numerics.mesh.weld import same_places, welded

few_places = arrays(
    st.sampled_from([np.float32, np.float64]),
    st.tuples(st.integers(0, 60), st.just(3)),
    elements=st.sampled_from([0.0, -0.0, 1.0, -1.0, 0.5, 1e-40, 3e38]),
)


def by_search(places):
    """Each place's first equal, by comparing with all before it."""
    seen: dict[tuple[float, ...], int] = {}
    first, label = [], []
    for i, place in enumerate(map(tuple, (places + 0).tolist())):
        if place not in seen:
            seen[place] = len(first)
            first.append(i)
        label.append(seen[place])
    return first, label


@given(few_places)
def test_it_finds_what_a_plain_search_finds(places):
    told = same_places(places)
    assert (told.first.tolist(), told.label.tolist()) == by_search(places)


@given(few_places)
def test_hashes_that_are_all_equal_cost_time_and_no_answer(places):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(weld, "_hashes", lambda p: np.zeros(len(p), np.uint64))
        patch.setattr(weld, "_ROUNDS", 3)
        told = same_places(places)
    assert (told.first.tolist(), told.label.tolist()) == by_search(places)


@pytest.mark.parametrize("made", [box(), torus(), sphere()], ids=["box", "torus", "sphere"])
def test_a_soup_is_welded_to_the_surface_it_came_from(made):
    corners = soup(made)
    again = welded(mesh(corners, np.arange(len(corners))))
    assert len(again.vertices) == len(made.vertices)
    assert closure(again).closed
    assert np.array_equal(again.vertices[again.faces], made.vertices[made.faces])


def test_many_blocks_are_welded_as_one():
    rng = np.random.Generator(np.random.Philox(2))
    places = rng.integers(0, 40, (3 * weld.BLOCK + 5, 3)).astype(np.float32)
    told = same_places(places)
    unique, first, label = np.unique(places, axis=0, return_index=True, return_inverse=True)
    assert len(told.first) == len(unique)
    assert set(told.first.tolist()) == set(first.tolist())
    assert np.array_equal(places[told.first[told.label]], unique[label.ravel()])
    assert np.array_equal(told.first, np.sort(told.first))


def test_faces_that_fall_on_an_edge_go_and_leave_the_surface_closed():
    """A side of a box is drawn together: the two faces on it have no area left."""
    made = box()
    vertices = made.vertices.copy()
    vertices[0] = vertices[1]
    told = welded(mesh(vertices, made.faces))
    assert len(told.faces) == 10
    assert len(told.vertices) == 7
    assert closure(told).closed


def test_vertices_that_no_face_names_go():
    told = welded(mesh(np.vstack([[7, 7, 7], box().vertices]), box().faces + 1))
    assert len(told.vertices) == 8


def test_minus_zero_is_zero():
    told = same_places(np.array([[0.0, 1, 2], [-0.0, 1, 2]]))
    assert told.label.tolist() == [0, 0]
