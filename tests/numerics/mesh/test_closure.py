"""Closed or not and where, which side is out, and how many pieces and handles there are."""

import itertools

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from numerics.mesh.shapes import box, inside_out, joined, mesh, sphere, tetrahedron, torus, without
from sixwright.numerics.mesh.chains import chains
from sixwright.numerics.mesh.closure import closure
from sixwright.numerics.mesh.shells import shells

CLOSED = {"tetrahedron": tetrahedron(), "box": box(), "torus": torus(), "sphere": sphere()}


@pytest.mark.parametrize("made", CLOSED.values(), ids=CLOSED)
def test_a_closed_surface_has_three_edges_for_two_faces(made):
    told = closure(made)
    assert told.closed
    assert told.balanced
    assert 2 * len(told.edges) == 3 * len(made.faces)
    assert len(told.open_edges) == len(told.turned_edges) == len(told.crowded_edges) == 0


def test_edges_are_those_of_the_faces():
    made = without(box(), 0, 5)
    pairs = {frozenset(p) for f in made.faces.tolist() for p in zip(f, f[1:] + f[:1], strict=True)}
    told = closure(made).edges.tolist()
    assert {frozenset(e) for e in told} == pairs
    assert told == sorted(told)
    assert all(low < high for low, high in told)


def test_a_missing_face_leaves_its_three_edges_open_and_they_join_in_a_ring():
    made = torus()
    told = closure(without(made, 17))
    assert not told.closed
    assert not told.balanced
    (rim,) = chains(told.open_edges)
    assert rim.closed
    assert set(rim.members.tolist()) == set(made.faces[17].tolist())
    # An open edge runs as the face that has it, so against the one that is missing.
    missing = made.faces[17].tolist()
    theirs = {(missing[(i + 1) % 3], missing[i]) for i in range(3)}
    assert {tuple(edge) for edge in told.open_edges.tolist()} == theirs


def test_a_face_inside_out_turns_its_three_edges():
    told = closure(inside_out(torus(), 5))
    assert len(told.turned_edges) == 3
    assert len(told.open_edges) == 0
    assert not told.closed


def test_three_faces_on_an_edge_crowd_it():
    """Three flaps like the pages of a book."""
    made = mesh(
        [[0, 0, 0], [0, 0, 1], [1, 0, 0], [0, 1, 0], [-1, -1, 0]], [[0, 1, 2], [0, 1, 3], [0, 1, 4]]
    )
    told = closure(made)
    assert told.crowded_edges.tolist() == [[0, 1]]
    assert len(told.open_edges) == 6


def test_two_boxes_that_share_an_edge_enclose_a_volume_and_are_not_called_closed():
    pair = joined(box(), box(middle=(1, 1, 0)))
    _, label = np.unique(pair.vertices, axis=0, return_inverse=True)
    told = closure(mesh(np.unique(pair.vertices, axis=0), label.ravel()[pair.faces]))
    assert told.balanced
    assert not told.closed
    assert len(told.crowded_edges) == 1


def test_a_band_with_half_a_twist_has_one_rim():
    """Möbius: no choice of sides agrees, and its edge is one closed line."""
    n = 30
    u = np.arange(n) * 2 * np.pi / n

    def rim(s):
        ring = 2 + s * np.cos(u / 2)
        return np.stack([ring * np.cos(u), ring * np.sin(u), s * np.sin(u / 2)], axis=1)

    faces = []
    for i in range(n):
        a, b = i, n + i
        c, d = (i + 1, n + i + 1) if i + 1 < n else (n, 0)
        faces += [[a, c, b], [b, c, d]]
    told = closure(mesh(np.concatenate([rim(-0.5), rim(0.5)]), faces))
    assert len(told.open_edges) == 2 * n
    assert len(told.turned_edges) > 0
    # One line: every vertex is on it, whichever way the faces run its edges.
    undirected = {frozenset(e) for e in told.open_edges.tolist()}
    reached, frontier = {0}, [0]
    while frontier:
        at = frontier.pop()
        for edge in (e for e in undirected if at in e):
            frontier += [v for v in edge if v not in reached]
            reached |= edge
    assert reached == set(range(2 * n))


def test_two_rims_that_touch_are_followed_edge_by_edge():
    eight = np.array([[0, 1], [1, 2], [2, 0], [0, 3], [3, 4], [4, 0]], np.int32)
    found = chains(eight)
    assert all(chain.closed for chain in found)
    assert sum(len(chain.members) for chain in found) == 6


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)).filter(lambda e: e[0] != e[1])))
def test_chains_use_every_edge_once(edges):
    used = []
    for chain in chains(np.array(edges, np.int32).reshape(-1, 2)):
        members = chain.members.tolist()
        used += itertools.pairwise(members)
        if chain.closed:
            used.append((members[-1], members[0]))
    assert sorted(used) == sorted(edges)


@pytest.mark.parametrize(
    ("made", "genus"),
    [(tetrahedron(), 0), (box(), 0), (sphere(), 0), (torus(), 1)],
    ids=["tetrahedron", "box", "sphere", "torus"],
)
def test_eulers_formula_counts_the_handles(made, genus):
    """V - E + F = 2 - 2 g."""
    told = shells(made, closure(made))
    assert told.euler.tolist() == [2 - 2 * genus]
    assert told.genus.tolist() == [genus]


def test_a_box_with_two_holes_has_two_handles():
    """Nine by five unit cubes with two left out; only outer squares are faces."""
    solid = {(x, y) for x in range(5) for y in range(3)} - {(1, 1), (3, 1)}
    quads = []
    for x, y in solid:
        base = [(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)]
        quads += [[(*p, 1) for p in base], [(*p, 0) for p in reversed(base)]]
        sides = {(0, -1): (0, 1), (1, 0): (1, 2), (0, 1): (2, 3), (-1, 0): (3, 0)}
        quads += [
            [(*base[i], 0), (*base[j], 0), (*base[j], 1), (*base[i], 1)]
            for (dx, dy), (i, j) in sides.items()
            if (x + dx, y + dy) not in solid
        ]
    places = sorted({p for quad in quads for p in quad})
    number = {p: i for i, p in enumerate(places)}
    faces = [t for a, b, c, d in ([number[p] for p in q] for q in quads)
             for t in ((a, b, c), (a, c, d))]  # fmt: skip
    made = mesh(places, faces)
    assert closure(made).closed
    assert shells(made, closure(made)).genus.tolist() == [2]


def test_pieces_are_told_apart_the_largest_first():
    made = joined(box(middle=(9, 0, 0)), torus(), without(sphere(0.2), 3))
    told = shells(made, closure(made))
    assert told.faces.tolist() == [len(torus().faces), 12, len(sphere().faces) - 1]
    assert told.vertices.tolist() == [len(torus().vertices), 8, len(sphere().vertices)]
    assert told.edges.tolist() == [len(torus().faces) * 3 // 2, 18, len(sphere().faces) * 3 // 2]
    assert told.open_edges.tolist() == [0, 0, 3]
    assert told.genus.tolist() == [1, 0, -1]
    assert told.area[1] == pytest.approx(6)
    assert told.volume[1] == pytest.approx(1)
    assert told.low[1] == pytest.approx([8.5, -0.5, -0.5])
    assert told.high[1] == pytest.approx([9.5, 0.5, 0.5])
    assert told.of_face[:12].tolist() == [1] * 12


def test_a_piece_inside_out_has_a_negative_volume():
    made = joined(box((3, 3, 3)), inside_out(box()))
    assert shells(made, closure(made)).volume == pytest.approx([27, -1])


def test_a_vertex_without_a_face_is_no_piece():
    made = mesh(np.vstack([[9, 9, 9], box().vertices, [8, 8, 8]]), box().faces + 1)
    told = shells(made, closure(made))
    assert told.vertices.tolist() == [8]
    assert told.high.max() == 0.5


def test_a_mesh_without_faces_has_no_pieces():
    made = mesh(np.zeros((4, 3)), np.zeros((0, 3)))
    assert len(shells(made, closure(made))) == 0


@given(st.integers(0, 2**32), st.integers(1, 60))
def test_a_general_library_says_the_same_of_random_faces(seed, count):
    """trimesh: watertight, Euler's number, components, on faces thrown together."""
    rng = np.random.Generator(np.random.Philox(seed))
    faces = rng.integers(0, 12, (count, 3))
    faces = faces[(faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2])
                  & (faces[:, 2] != faces[:, 0])]  # fmt: skip
    used, faces = np.unique(faces, return_inverse=True)
    made = mesh(rng.normal(size=(len(used), 3)), faces)
    theirs = trimesh.Trimesh(made.vertices, made.faces, process=False)
    told = closure(made)
    undirected = {tuple(sorted(e)) for e in theirs.edges.tolist()}
    assert len(told.edges) == len(undirected)
    labels = trimesh.graph.connected_component_labels(theirs.edges, len(used))
    assert len(shells(made, told)) == (len(set(labels.tolist())) if len(used) else 0)
