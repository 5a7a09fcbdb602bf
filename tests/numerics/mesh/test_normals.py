"""Which way faces and vertices look."""

import numpy as np
import pytest
import trimesh

from numerics.mesh.shapes import box, mesh, sphere, torus, turned_by
from sixwright.numerics.mesh.normals import vertex_normals


def test_a_sphere_looks_outward_and_more_so_the_finer_it_is_cut():
    off = []
    for rounds in (3, 4, 5):
        made = sphere(3.0, rounds)
        off.append(np.abs(vertex_normals(made) - made.vertices / 3).max())
    assert off[0] > 1.9 * off[1] > 3.6 * off[2]
    assert off[2] < 0.004


def test_a_torus_looks_away_from_its_ring():
    made = torus(3, 1, 200, 160)
    ring = made.vertices * [1, 1, 0]
    ring *= 3 / np.linalg.norm(ring, axis=1)[:, None]
    assert vertex_normals(made) == pytest.approx(made.vertices - ring, abs=2e-3)


def test_the_corner_of_a_box_looks_along_its_diagonal_however_it_is_cut():
    """Angles weigh, not faces: three of a box's corners have two faces on one side."""
    made = box()
    assert vertex_normals(made) == pytest.approx(made.vertices * 2 / np.sqrt(3), abs=1e-12)


def test_normals_turn_with_the_mesh():
    made = torus(bumps=0.2)
    rng = np.random.Generator(np.random.Philox(4))
    moved, rotation = turned_by(made, rng)
    assert vertex_normals(moved) == pytest.approx(vertex_normals(made) @ rotation.T, abs=1e-9)


def test_a_general_library_says_the_same():
    """trimesh: vertex normals weighed by angle."""
    made = torus(bumps=0.3)
    theirs = trimesh.Trimesh(made.vertices, made.faces, process=False)
    weighed = trimesh.geometry.weighted_vertex_normals(
        len(made.vertices), made.faces, theirs.face_normals, theirs.face_angles
    )
    assert vertex_normals(made) == pytest.approx(weighed, abs=1e-9)


def test_a_face_without_area_looks_nowhere():
    made = mesh([[0, 0, 0], [1, 0, 0], [2, 0, 0]], [[0, 1, 2]])
    assert vertex_normals(made).tolist() == [[0, 0, 0]] * 3


def test_a_tiny_mesh_looks_as_a_large_one():
    small = mesh(box().vertices * 1e-100, box().faces)
    assert vertex_normals(small) == pytest.approx(vertex_normals(box()))
