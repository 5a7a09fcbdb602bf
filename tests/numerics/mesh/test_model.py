"""A mesh is what it says: places that are numbers, and faces that name them."""

import numpy as np
import pytest

from numerics.mesh.shapes import box, mesh, torus
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import BLOCK, Mesh, blocks, bounds


@pytest.mark.parametrize(
    ("vertices", "faces", "said"),
    [
        (np.zeros((2, 2)), np.zeros((0, 3), np.int32), "vertices must be an array of shape"),
        (np.zeros((2, 3), int), np.zeros((0, 3), np.int32), "float32 or float64"),
        (np.zeros((2, 3)), np.zeros((1, 4), np.int32), "faces must be an array of shape"),
        (np.zeros((2, 3)), np.zeros((1, 3), np.int64), "of int32; received"),
        (np.zeros((2, 3)), np.array([[0, 1, 2]], np.int32), "vertices 0 to 1; received 0 to 2"),
        (np.zeros((2, 3)), np.array([[0, -1, 1]], np.int32), "received -1 to 1"),
        (np.array([[0, np.nan, 0]]), np.zeros((0, 3), np.int32), "must be finite"),
        (np.array([[0, np.inf, 0]]), np.zeros((0, 3), np.int32), "must be finite"),
    ],
)
def test_what_is_no_mesh_is_refused(vertices, faces, said):
    with pytest.raises(InputError, match=said):
        Mesh(vertices, faces)


def test_it_cannot_be_written_into():
    with pytest.raises(ValueError, match="read-only"):
        box().vertices[0, 0] = 1


def test_the_arrays_it_was_made_from_stay_as_they_were():
    vertices = np.zeros((3, 3))
    Mesh(vertices, np.array([[0, 1, 2]], np.int32))
    vertices[0, 0] = 1


def test_blocks_are_all_faces_once():
    made = torus(across=200, along=120)
    assert len(made.faces) > BLOCK
    seen = np.concatenate([first for _, first, _, _ in blocks(made)])
    assert np.array_equal(seen, made.vertices[made.faces[:, 0]])


def test_bounds():
    low, high = bounds(box((2, 4, 6), (1, 1, 1)))
    assert low.tolist() == [0, -1, -2]
    assert high.tolist() == [2, 3, 4]
    with pytest.raises(InputError, match="one or more"):
        bounds(mesh(np.zeros((0, 3)), np.zeros((0, 3))))


@pytest.mark.parametrize("count", [1, 255, 256, 257, 5000])
def test_the_box_around_many_places_is_that_of_all_of_them(count):
    places = np.random.Generator(np.random.Philox(count)).normal(size=(count, 3))
    low, high = bounds(Mesh(places.astype(np.float32), np.zeros((0, 3), np.int32)))
    assert (low == places.astype(np.float32).min(axis=0)).all()
    assert (high == places.astype(np.float32).max(axis=0)).all()
