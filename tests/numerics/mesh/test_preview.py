"""Far fewer faces that look like the whole."""

import numpy as np
import pytest

from numerics.mesh.shapes import box, mesh, torus
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.mass import solid
from sixwright.numerics.mesh.nearest import nearest
from sixwright.numerics.mesh.preview import first_look, preview


@pytest.mark.parametrize("most", [1000, 8000, 30_000])
def test_it_has_about_as_many_faces_as_asked_and_lies_on_the_surface(most):
    made = torus(30, 10, 300, 200, bumps=0.05, dtype=np.float32)
    told = preview(made, most=most)
    assert 0.5 * most < len(told.faces) <= 1.05 * most
    spacing = np.sqrt(4 * np.pi**2 * 300 / most)
    off = nearest(made, told.vertices).distance
    assert off.max() < spacing / 2
    assert nearest(told, made.vertices[::97]).distance.max() < spacing / 2
    assert solid(told).volume == pytest.approx(solid(made).volume, rel=40 / most)


def test_a_mesh_with_few_faces_is_its_own_preview():
    made = box()
    assert preview(made) is made


def test_a_heap_of_one_place_does_not_stop_it():
    rng = np.random.Generator(np.random.Philox(1))
    faces = rng.integers(0, 50, (2000, 3))
    flat = mesh(np.zeros((50, 3)), faces)
    assert len(preview(flat, most=100).faces) <= 105


def test_too_few_are_not_asked_for():
    with pytest.raises(InputError, match="most must be 100 or more"):
        preview(box(), most=5)


@pytest.mark.parametrize("most", [1000, 8000, 30_000])
def test_a_first_look_at_unwelded_triangles_lies_near_the_surface(most):
    made = torus(30, 10, 300, 200, bumps=0.05, dtype=np.float32)
    soup = mesh(
        made.vertices[made.faces].reshape(-1, 3),
        np.arange(3 * len(made.faces)).reshape(-1, 3),
        np.float32,
    )
    told = first_look(soup, most=most)
    assert 0.5 * most < len(told.faces) <= 1.5 * most
    spacing = np.sqrt(4 * np.pi**2 * 300 / most)
    assert nearest(made, told.vertices).distance.max() < spacing / 2
    assert nearest(told, made.vertices[::97]).distance.max() < spacing
    assert solid(told).volume == pytest.approx(solid(made).volume, rel=80 / most)


def test_a_first_look_at_a_heap_of_one_place_has_no_face():
    rng = np.random.Generator(np.random.Philox(1))
    flat = mesh(np.zeros((50, 3)), rng.integers(0, 50, (2000, 3)))
    assert len(first_look(flat, most=100).faces) == 0
    with pytest.raises(InputError, match="most must be 100 or more"):
        first_look(box(), most=5)
