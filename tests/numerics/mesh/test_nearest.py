"""The nearest place of a surface: one answer from two ways, a general library, and a formula."""

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from numerics.mesh.shapes import box, joined, mesh, sphere, torus
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh import nearest as module
from sixwright.numerics.mesh.nearest import nearest
from sixwright.numerics.mesh.nearest_slow import nearest_faces

EXACT = 1e-12


def places(count, seed=5, spread=4.0):
    rng = np.random.Generator(np.random.Philox(seed))
    return rng.normal(0, spread, (count, 3))


def slowly(monkeypatch):
    """As where the faster library has no wheel."""
    monkeypatch.setattr(module.importlib.util, "find_spec", lambda _: None)


@pytest.fixture(params=["fast", "slow"])
def way(request, monkeypatch):
    if request.param == "slow":
        slowly(monkeypatch)
    else:
        pytest.importorskip("point_cloud_utils")


@pytest.mark.usefixtures("way")
def test_a_box_by_its_formula():
    """Outside, the distance is to the place clipped to the box; inside, to the nearest side."""
    asked = places(400)
    told = nearest(box((2, 3, 4)), asked)
    half = np.array([1, 1.5, 2])
    outside = np.linalg.norm(asked - np.clip(asked, -half, half), axis=1)
    inside = (half - np.abs(asked)).min(axis=1)
    assert told.distance == pytest.approx(np.where(outside > 0, outside, inside), abs=EXACT)
    assert np.linalg.norm(told.place - asked, axis=1) == pytest.approx(told.distance, abs=EXACT)


@pytest.mark.usefixtures("way")
def test_a_general_library_says_the_same_of_random_pairs():
    """trimesh, every triangle tried (closest_point_naive), on faces thrown together."""
    rng = np.random.Generator(np.random.Philox(6))
    made = mesh(rng.normal(size=(60, 3)), rng.integers(0, 60, (80, 3)))
    made = mesh(made.vertices, made.faces[(np.diff(np.sort(made.faces)) > 0).all(axis=1)])
    asked = places(300, spread=1.5)
    theirs = trimesh.Trimesh(made.vertices, made.faces, process=False)
    _, distance, _ = trimesh.proximity.closest_point_naive(theirs, asked)
    assert nearest(made, asked).distance == pytest.approx(distance, abs=1e-9)


@given(st.integers(0, 2**32), st.sampled_from([1.0, 1e-3, 1e3]))
def test_both_ways_find_one_distance(seed, scale):
    """Large faces among small ones, and places on the surface, near it and far."""
    pytest.importorskip("point_cloud_utils")
    rng = np.random.Generator(np.random.Philox(seed))
    large = mesh([[-9, -9, -2], [9, -9, -2], [0, 9, -2]], [[0, 1, 2]])
    made = joined(torus(2, 0.7, 12, 9, bumps=0.3), large, sphere(0.05, 1))
    made = mesh(made.vertices * scale, made.faces)
    asked = np.vstack([
        rng.normal(0, 3, (20, 3)), made.vertices[:5] / scale, rng.normal(0, 90, (5, 3))
    ]) * scale  # fmt: skip
    fast = nearest(made, asked)
    face = nearest_faces(made.vertices, made.faces, asked)
    with pytest.MonkeyPatch.context() as patch:
        slowly(patch)
        slow = nearest(made, asked)
    assert slow.distance == pytest.approx(fast.distance, abs=1e-9 * scale)
    assert len(face) == len(asked)
    assert fast.distance[20:25] == pytest.approx([0] * 5, abs=1e-12 * scale)


@pytest.mark.parametrize("count", [1, module.FEW, module.FEW + 1])
def test_few_places_and_many_are_answered_alike(count):
    """Few are asked of a part of the mesh only; the part must hold the answer."""
    made = torus(30, 10, 300, 200, bumps=0.1)
    asked = made.vertices[:: len(made.vertices) // count][:count] + places(count, spread=0.3)
    whole = nearest(made, np.vstack([asked, places(module.FEW + 1)]))
    assert nearest(made, asked).distance == pytest.approx(whole.distance[:count], abs=1e-9)


def test_few_places_ask_only_a_part_of_the_mesh():
    made = torus(30, 10, 300, 200)
    part = module._worth_asking(made, made.vertices[:5] + 0.1)
    assert part is not None
    assert len(part) < len(made.faces) / 50


def test_float32_is_taken_as_it_is():
    made = torus(dtype=np.float32)
    exact = mesh(made.vertices.astype(np.float64), made.faces)
    asked = places(50)
    assert np.array_equal(nearest(made, asked).distance, nearest(exact, asked).distance)


def test_a_triangle_without_area_is_a_line():
    made = mesh([[0, 0, 0], [1, 0, 0], [2, 0, 0]], [[0, 1, 2]])
    assert nearest(made, [[1.5, 2, 0], [5, 4, 0]]).distance == pytest.approx([2, 5])


def test_no_places_get_no_answers_and_no_faces_none():
    assert len(nearest(box(), np.zeros((0, 3))).face) == 0
    with pytest.raises(InputError, match="must have a face"):
        nearest(mesh(np.zeros((3, 3)), np.zeros((0, 3))), [[0, 0, 0]])
    with pytest.raises(InputError, match="be finite"):
        nearest(box(), [[np.nan, 0, 0]])
