"""Volume, centre and inertia, against Mirtich's values, formulas, and a general library."""

import itertools

import numpy as np
import pytest
import trimesh

from numerics.mesh.shapes import (
    box,
    inside_out,
    joined,
    mesh,
    sphere,
    tetrahedron,
    torus,
    turned_by,
)
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.mass import solid
from sixwright.numerics.mesh.shells import face_areas_and_volumes

CLOSE = 1e-12


def rng():
    return np.random.Generator(np.random.Philox(13))


def test_mirtichs_tetrahedron():
    """facts.md, section 3 (mirtich-1996): V 1/6, middle 1/4, integrals 1/60 and 1/120."""
    told = solid(tetrahedron())
    assert told.volume == pytest.approx(1 / 6, abs=CLOSE)
    assert told.centre == pytest.approx([1 / 4] * 3, abs=CLOSE)
    about_origin = told.second + told.volume * np.outer(told.centre, told.centre)
    assert np.diag(about_origin) == pytest.approx([1 / 60] * 3, abs=CLOSE)
    assert about_origin[[0, 0, 1], [1, 2, 2]] == pytest.approx([1 / 120] * 3, abs=CLOSE)
    assert np.diag(told.inertia) == pytest.approx([1 / 80] * 3, abs=CLOSE)


def test_mirtichs_box():
    """facts.md, section 3: sides 2, 3, 4, mass 24, I = (50, 40, 26) about the middle."""
    told = solid(box((2, 3, 4), middle=(10, -20, 30)))
    assert told.volume == pytest.approx(24, abs=CLOSE)
    assert told.centre == pytest.approx([10, -20, 30], abs=CLOSE)
    assert told.inertia == pytest.approx(np.diag([50, 40, 26]), abs=1e-10)


def test_reversed_faces_enclose_a_negative_volume():
    told, turned = solid(torus()), solid(inside_out(torus()))
    assert turned.volume == pytest.approx(-told.volume)
    assert turned.centre == pytest.approx(told.centre, abs=CLOSE)


def test_the_area_and_volume_of_a_torus_come_with_the_square_of_its_cut():
    """4 pi² R r and 2 pi² R r²; a chord falls short of its arc by its square."""
    off = []
    for across in (40, 80, 160):
        made = torus(3, 1, across, across)
        area = face_areas_and_volumes(made)[0].sum() / (4 * np.pi**2 * 3) - 1
        volume = solid(made).volume / (2 * np.pi**2 * 3) - 1
        off.append((area, volume))
    for coarse, fine in itertools.pairwise(off):
        assert np.array(coarse) / np.array(fine) == pytest.approx([4, 4], rel=0.02)
    assert max(abs(x) for x in off[-1]) < 0.002


def test_the_inertia_of_a_torus():
    """m (R² + 3/4 r²) about its axis and m (R²/2 + 5/8 r²) across, m = 2 pi² R r²."""
    told = solid(torus(3, 1, 400, 400))
    m = 2 * np.pi**2 * 3
    across = m * (9 / 2 + 5 / 8)
    wanted = [across, across, m * (9 + 3 / 4)]
    assert np.diag(told.inertia) == pytest.approx(wanted, rel=3e-4)


def test_a_sphere():
    made = sphere(2.0, rounds=5)
    told = solid(made)
    assert told.volume == pytest.approx(4 / 3 * np.pi * 8, rel=2e-3)
    assert told.inertia == pytest.approx(np.eye(3) * 0.4 * told.volume * 4, rel=2e-3, abs=1e-9)
    assert face_areas_and_volumes(made)[0].sum() == pytest.approx(4 * np.pi * 4, rel=2e-3)


def test_turning_moving_and_scaling_change_it_as_they_should():
    made = joined(tetrahedron(), box((2, 3, 1), (4, 1, 0)))
    told = solid(made)
    moved, rotation = turned_by(made, rng())
    other = solid(moved)
    assert other.volume == pytest.approx(told.volume)
    assert other.inertia == pytest.approx(rotation @ told.inertia @ rotation.T)
    large = solid(mesh(made.vertices * 3, made.faces))
    assert large.volume == pytest.approx(27 * told.volume)
    assert large.inertia == pytest.approx(3**5 * told.inertia)


def test_a_mesh_far_from_the_origin_loses_no_digits():
    """A kilometre away, in float64, the inertia of millimetres is right to nine digits."""
    near, far = torus(), torus()
    far = mesh(far.vertices + 2.0**20, far.faces)  # a power of two: the places stay exact to 2^-33
    assert solid(far).inertia == pytest.approx(solid(near).inertia, rel=1e-9, abs=1e-8)


def test_a_general_library_says_the_same():
    """trimesh 5's moments, on bodies of no symmetry."""
    made, _ = turned_by(joined(torus(3, 1, 30, 20, bumps=0.2), box((1, 2, 3), (7, 0, 2))), rng())
    theirs = trimesh.Trimesh(made.vertices, made.faces, process=False)
    ours = solid(made)
    assert ours.volume == pytest.approx(theirs.volume, rel=1e-10)
    assert ours.centre == pytest.approx(theirs.center_mass, rel=1e-9)
    assert ours.inertia == pytest.approx(theirs.moment_inertia, rel=1e-8, abs=1e-8)


@pytest.mark.parametrize(
    "flat",
    [
        mesh(np.zeros((0, 3)), np.zeros((0, 3))),
        mesh([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2], [0, 2, 1]]),
    ],
    ids=["no faces", "a sheet with two sides"],
)
def test_what_encloses_nothing_has_no_centre(flat):
    with pytest.raises(InputError, match="must enclose a volume"):
        solid(flat)
