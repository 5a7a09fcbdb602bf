"""What a ray meets first, and what an eye sees: formulas, and a general library's rays."""

import numpy as np
import pytest
import trimesh

from numerics.mesh.shapes import box, joined, mesh, sphere, torus
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.rays import RayTree


def directions(count, seed=8):
    rng = np.random.Generator(np.random.Philox(seed))
    return rng.normal(size=(count, 3))


def test_a_box_from_afar_is_met_where_the_formula_says():
    """The slab method: the last of the near sides."""
    half = np.array([1, 1.5, 2])
    eye = np.array([40.0, 30, 50])
    rng = np.random.Generator(np.random.Philox(3))
    aim = rng.uniform(-2.5, 2.5, (4000, 3)) - eye
    aim /= np.linalg.norm(aim, axis=1)[:, None]
    sides = np.sort(np.stack([(-half - eye) / aim, (half - eye) / aim]), axis=0)
    enter, leave = sides[0].max(axis=1), sides[1].min(axis=1)
    clear = np.abs(leave - enter) > 1e-4
    hits = RayTree(box((2, 3, 4))).first_hits(eye, aim)
    assert np.array_equal(hits.met[clear], (enter < leave)[clear])
    met = hits.met & clear
    assert met.sum() > 500
    assert hits.distance[met] == pytest.approx(enter[met], abs=1e-9)
    assert hits.place[met] == pytest.approx(eye + enter[met, None] * aim[met], abs=1e-9)


def test_from_inside_a_sphere_every_ray_meets_it():
    made = sphere(2.0, rounds=5)
    hits = RayTree(made).first_hits(np.zeros(3), directions(5000))
    assert hits.met.all()
    assert hits.distance == pytest.approx(np.full(5000, 2), abs=2e-3)
    first, second, third = (made.vertices[made.faces[hits.face, i]] for i in range(3))
    off = (np.cross(second - first, third - first) * (hits.place - first)).sum(axis=1)
    assert off == pytest.approx(np.zeros(5000), abs=1e-15)


def test_a_general_library_meets_the_same_faces():
    """trimesh's own rays in float64 (ray_triangle, no Embree), on random faces."""
    pytest.importorskip("rtree")
    rng = np.random.Generator(np.random.Philox(11))
    faces = rng.integers(0, 90, (150, 3))
    faces = faces[(np.diff(np.sort(faces)) > 0).all(axis=1)]
    made = mesh(rng.normal(size=(90, 3)), faces)
    starts, aims = rng.normal(0, 4, (600, 3)), rng.normal(0, 1, (600, 3))
    aims = aims - starts
    theirs = trimesh.ray.ray_triangle.RayMeshIntersector(
        trimesh.Trimesh(made.vertices, made.faces, process=False)
    )
    place, ray, _ = theirs.intersects_location(starts, aims, multiple_hits=False)
    hits = RayTree(made).first_hits(starts, aims)
    # Rays that graze an edge may be told either way; of 600 at most a few do.
    met = np.zeros(600, bool)
    met[ray] = True
    assert (met != hits.met).sum() <= 2
    both = np.flatnonzero(met & hits.met)
    assert len(both) > 300
    wanted = np.zeros((600, 3))
    wanted[ray] = place
    off = np.linalg.norm(hits.place[both] - wanted[both], axis=1)
    assert (off > 1e-6).sum() <= 2


def test_no_ray_slips_between_faces():
    """Aimed at edges and vertices of a closed surface from outside: none goes through."""
    made = torus(3, 1, 90, 60)
    middles = made.vertices[made.faces].mean(axis=1)
    edges = (made.vertices[made.faces[:, 0]] + made.vertices[made.faces[:, 1]]) / 2
    ring = lambda p: p * [1, 1, 0] / np.linalg.norm(p * [1, 1, 0], axis=1)[:, None] * 3  # noqa: E731
    tree = RayTree(made)
    for aimed in (middles, edges, made.vertices):
        away = aimed - ring(aimed)
        hits = tree.first_hits(aimed + 0.7 * away, -away)
        assert hits.met.all()
        assert hits.distance == pytest.approx(0.7 * np.linalg.norm(away, axis=1), abs=2e-6)


def test_a_mesh_far_from_the_origin_is_met_as_exactly():
    far = np.array([2.0**20, 0, 0])
    hits = RayTree(mesh(box().vertices + far, box().faces)).first_hits(
        far + np.array([0.1, 0.2, 30]), np.array([[0, 0, -1.0]])
    )
    assert hits.distance == pytest.approx([29.5], abs=1e-9)


def test_an_eye_far_away_aims_as_exactly():
    """A thousand kilometres for millimetres: float32 alone would miss by a tenth."""
    eye = np.array([3e8, 4e8, 1e9])
    aimed = np.random.Generator(np.random.Philox(1)).uniform(-0.45, 0.45, (300, 3))
    aimed[:, 2] = 0.5
    hits = RayTree(finely_cut_square()).first_hits(eye, aimed - eye)
    assert np.abs(hits.place - aimed).max() < 1e-5


def finely_cut_square():
    """A square of many small faces: a ray that is off meets another, or none."""
    steps = np.linspace(-0.5, 0.5, 201)
    x, y = (a.ravel() for a in np.meshgrid(steps, steps, indexing="ij"))
    top = np.stack([x, y, 0.5 + 0 * x], axis=1)
    i, j = (a.ravel() for a in np.meshgrid(np.arange(200), np.arange(200), indexing="ij"))
    a, b, c, d = 201 * i + j, 201 * (i + 1) + j, 201 * (i + 1) + j + 1, 201 * i + j + 1
    return mesh(top, np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)]))


def test_what_is_behind_the_start_is_not_met():
    hits = RayTree(box()).first_hits([0, 0, 5], [[0, 0, 1.0], [0, 0, -1.0]])
    assert hits.met.tolist() == [False, True]
    assert hits.face[0] == -1
    assert hits.distance[0] == np.inf
    assert np.isnan(hits.place[0]).all()


def test_an_eye_sees_the_near_half_of_a_sphere():
    """Seen where the angle at the centre is below arccos(r / d), facets aside."""
    made = sphere(1.0, rounds=5)
    eye = np.array([0, 0, 4.0])
    height = made.vertices[:, 2]
    seen = RayTree(made).sees(eye, made.vertices, within=1e-3)
    clear = np.abs(height - 1 / 4) > 0.08
    assert np.array_equal(seen[clear], (height > 1 / 4)[clear])


def test_what_stands_before_it_hides_it():
    screen = mesh([[-1, -1, 2], [1, -1, 2], [0, 1, 2]], [[0, 1, 2]])
    tree = RayTree(joined(box(), screen))
    asked = [[0, 0, 0.5], [0.45, 0.45, 0.5], [0, 0, 2], [0, 0, 9]]
    assert tree.sees([0, 0, 9.0], asked, within=1e-6).tolist() == [False, True, True, True]


def test_a_place_a_little_below_the_surface_is_seen_within_so_much():
    tree = RayTree(box())
    below = [[0.1, 0.1, 0.47]]
    assert tree.sees([0, 0, 9.0], below, within=0.05).tolist() == [True]
    assert tree.sees([0, 0, 9.0], below, within=0.01).tolist() == [False]


@pytest.mark.parametrize("aim", [[0, 0, 0], [np.nan, 0, 1], [np.inf, 0, 0]])
def test_a_ray_without_a_direction_is_refused(aim):
    with pytest.raises(InputError, match="above 0 in length"):
        RayTree(box()).first_hits([0, 0, 5], [aim])


def test_a_mesh_without_faces_and_a_spread_of_nothing_are_refused():
    with pytest.raises(InputError, match="must have a face"):
        RayTree(mesh(np.zeros((3, 3)), np.zeros((0, 3))))
    with pytest.raises(InputError, match="within must be above 0"):
        RayTree(box()).sees([0, 0, 5.0], [[0, 0, 0.5]], within=0)
