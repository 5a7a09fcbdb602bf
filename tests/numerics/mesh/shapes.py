"""Surfaces whose area, volume and handles a formula gives; made without the code under test."""

import numpy as np

from sixwright.numerics.mesh.model import Mesh


def mesh(vertices, faces, dtype=np.float64):
    return Mesh(np.asarray(vertices, dtype), np.asarray(faces, np.int32).reshape(-1, 3))


def tetrahedron():
    """(0,0,0), (1,0,0), (0,1,0), (0,0,1), faces outward."""
    return mesh(
        [[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]], [[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]
    )


def box(sides=(1, 1, 1), middle=(0, 0, 0)):
    corners = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]) / 2
    quads = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]]
    faces = [t for a, b, c, d in quads for t in ([a, b, c], [a, c, d])]
    return mesh(corners * np.asarray(sides) + np.asarray(middle), faces)


def wrapped(across, along, place):
    """A grid closed both ways: `place(u, v)` of two angles in [0, 2 pi)."""
    u, v = np.meshgrid(np.arange(across), np.arange(along), indexing="ij")
    places = place(2 * np.pi * u / across, 2 * np.pi * v / along).reshape(-1, 3)
    number = lambda i, j: (i % across) * along + j % along  # noqa: E731
    a, b, c, d = number(u, v), number(u + 1, v), number(u + 1, v + 1), number(u, v + 1)
    faces = np.stack([np.stack([a, b, c], -1), np.stack([a, c, d], -1)], axis=2)
    return mesh(places, faces)


def torus(major=3.0, minor=1.0, across=60, along=40, *, bumps=0.0, dtype=np.float64):
    def place(u, v):
        r = minor * (1 + bumps * np.sin(7 * u) * np.sin(5 * v))
        ring = major + r * np.cos(v)
        return np.stack([ring * np.cos(u), ring * np.sin(u), r * np.sin(v)], axis=-1)

    made = wrapped(across, along, place)
    return mesh(made.vertices, made.faces, dtype)


def sphere(radius=1.0, rounds=4):
    """An octahedron, each face cut in four `rounds` times, its corners put on the sphere."""
    places = [*np.eye(3), *-np.eye(3)]
    faces = [[0, 1, 2], [1, 3, 2], [3, 4, 2], [4, 0, 2], [1, 0, 5], [3, 1, 5], [4, 3, 5], [0, 4, 5]]
    for _ in range(rounds):
        halves: dict[tuple[int, int], int] = {}

        def half(a, b, halves=halves):
            key = (min(a, b), max(a, b))
            if key not in halves:
                middle = places[a] + places[b]
                places.append(middle / np.linalg.norm(middle))
                halves[key] = len(places) - 1
            return halves[key]

        cut = []
        for a, b, c in faces:
            ab, bc, ca = half(a, b), half(b, c), half(c, a)
            cut += [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]
        faces = cut
    return mesh(radius * np.array(places), faces)


def joined(*meshes):
    """Several meshes as one, none of their vertices shared."""
    starts = np.cumsum([0, *(len(m.vertices) for m in meshes)])
    return mesh(
        np.concatenate([m.vertices for m in meshes]),
        np.concatenate([m.faces + start for m, start in zip(meshes, starts, strict=False)]),
    )


def without(made, *faces):
    return mesh(made.vertices, np.delete(made.faces, faces, axis=0))


def inside_out(made, *faces):
    """These faces, or all, run the other way."""
    turned = made.faces.copy()
    some = list(faces) or slice(None)
    turned[some] = turned[some][:, ::-1]
    return mesh(made.vertices, turned)


def soup(made):
    """Every face with corners of its own, (3 f, 3), as an STL holds them."""
    return made.vertices[made.faces].reshape(-1, 3)


def turned_by(made, rng):
    """The mesh in another place and attitude; a proper rotation from a random quaternion."""
    w, x, y, z = (q := rng.normal(size=4)) / np.linalg.norm(q)
    rotation = np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
        [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
        [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
    ])  # fmt: skip
    return mesh(made.vertices @ rotation.T + rng.normal(0, 5, 3), made.faces), rotation
