"""People with a skin: heads whose surface, landmarks and outlines belong together.

The person is a mesh of some balls bent by some swellings; landmarks are places on it. A
sculpt is that person at 1:6, every place of its surface moved: by the field that its kind of error
has, by a bump round each landmark, and by texture where there is none. Outlines are traced off a
silhouette that OpenCV fills, face by face, with an error of the hand that is not of the solver's
kind. Nothing here is shared with what has to find the errors.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from scipy.spatial import cKDTree
from skimage.measure import marching_cubes

from line.heads import ball
from numerics.mesh.shapes import mesh
from sixwright.line.likeness import OutlinePoint, Sighting
from topics.likeness import truth
from topics.likeness.errors import NOSE, SLIGHT, placed_as

FINE, BITS = 3, 4  # of the silhouette: pixels to one of the still's, and OpenCV's fractions
TRACED = 50  # points a still


@dataclass
class Skin:
    """A scene, and the sculpt's mesh in the sculpt frame; the person's is at full size."""

    scene: truth.Scene
    sculpt: object
    person: object


def _base(step=3.0):
    """A closed head at full size with jaw angles that stand out over its neck."""
    x, y, z = (np.arange(low, high, step) for low, high in ((-100, 101), (-160, 130), (-110, 140)))
    p = np.stack(np.meshgrid(x, y, z, indexing="ij"))
    parts = [
        ball(p, (0, 30, -5), (76, 88, 96)),
        ball(p, (0, -34, 38), (55, 62, 58)),
        ball(p, (0, -96, 70), (25, 18, 26)),
        ball(p, (0, -32, 94), (16, 22, 25)),
        ball(p, (0, 22, 76), (46, 13, 22)),
        ball(p, (42, -66, 22), (17, 24, 30)),
        ball(p, (-42, -66, 22), (17, 24, 30)),
        ball(p, (28, -86, 52), (16, 16, 34)),
        ball(p, (-28, -86, 52), (16, 16, 34)),
        ball(p, (74, -10, -8), (7, 28, 16)),
        ball(p, (-74, -10, -8), (7, 28, 16)),
        np.maximum(np.hypot(p[0], p[2] + 18 - 0.1 * p[1]) - 44, np.maximum(-150 - p[1], p[1])),
    ]
    # A soft least of them all: no creases where balls cross.
    soft = -4.0 * np.log(sum(np.exp(-part / 4.0) for part in parts))
    vertices, faces, _, _ = marching_cubes(soft, 0)
    return mesh(vertices * step + [x[0], y[0], z[0]], faces)


BASE = _base()


def person(rng):
    """A head of its own: mesh at full size, and its landmarks, places of the mesh."""
    bare = BASE.vertices
    some = dict(enumerate(bare[::40]))
    moved = bare + _swelling(rng, bare, some, 4.0, (25.0, 60.0), 14)
    keys, places = [], []
    for (name, side), place in truth.PLACES.items():
        for own in ("left", "right") if side == "left" else (side,):
            sign = -1.0 if own == "right" else 1.0
            keys.append((name, own))
            places.append(np.array([sign * place[0], place[1], place[2]]) + rng.normal(0, 2.0, 3))
    nearest = [int(((moved - place) ** 2).sum(axis=1).argmin()) for place in places]
    return mesh(moved, BASE.faces), dict(zip(keys, moved[nearest], strict=True))


def _swelling(rng, at, places, size, reach, count):
    """Swellings as of `errors.swellings`, at any places."""
    middles = np.array(list(places.values()))
    moved = np.zeros_like(at)
    for _ in range(count):
        middle = middles[rng.integers(len(middles))]
        wide = rng.uniform(*reach)
        away = ((at - middle) ** 2).sum(axis=1)
        moved += np.exp(-away / (2 * wide**2))[:, None] * rng.normal(0, size, 3)
    return moved


def errors_on(rng, kind, places, at):
    """Errors of landmarks by key, and the error of every place of the surface, mm at 1:6."""
    keys, middles = list(places), np.array(list(places.values()))
    both = np.concatenate([middles, at])
    field = _field(rng, kind, places, both)
    slight = 1.15 / 6 if kind == "independent" else SLIGHT
    own = rng.normal(0, slight, (len(keys), 3))
    off = {key: field[i] + own[i] for i, key in enumerate(keys)}
    apart = np.linalg.norm(middles[:, None] - middles[None], axis=2)
    nearest = (apart + 99 * np.eye(len(keys))).min(axis=1)
    # A bump ends before the next begins; two landmarks may lie in one place.
    wide = np.maximum(np.minimum(rng.uniform(1.5, 3.0), 0.6 * nearest), 0.3)
    weights = np.linalg.lstsq(np.exp(-(apart**2) / (2 * wide**2)), own)[0]
    away = ((at[:, None] - middles[None]) ** 2).sum(axis=2)
    bumps = np.exp(-away / (2 * wide**2)) @ weights
    texture = _swelling(rng, at, dict(enumerate(at[::23])), SLIGHT, (2.0, 4.0), 80)
    near = np.exp(-away / (2 * 1.0**2)).max(axis=1)[:, None]
    return off, field[len(keys) :] + bumps + (1 - near) * texture


def _field(rng, kind, places, at):
    """What is wrong beyond single places, at any places: none of it as the solver believes."""
    middles = np.array(list(places.values()))
    if kind == "independent":
        return np.zeros_like(at)
    if kind in {"smooth", "depth"}:
        size = 0.35 if kind == "smooth" else 0.45
        found = _swelling(rng, at, dict(enumerate(middles)), size, (5.0, 11.0), 6)
        return found * [0.15, 0.15, 1.0] if kind == "depth" else found
    if kind == "nose":
        way = rng.normal(0, 1, 3)
        way *= rng.uniform(0.35, 0.8) / np.linalg.norm(way)
        nose = np.array([place for key, place in places.items() if key[0] in NOSE])
        away = ((at[:, None] - nose[None]) ** 2).sum(axis=2).min(axis=1)
        return np.exp(-away / (2 * 2.0**2))[:, None] * way
    if kind in GROSS:
        return _gross_field(rng, kind, places, at)
    wide = rng.choice([-1.0, 1.0]) * rng.uniform(0.35, 0.6)  # a jaw too narrow or too wide
    found = np.zeros_like(at)
    for side, sign in (("left", 1.0), ("right", -1.0)):
        away = ((at - places["gonion", side]) ** 2).sum(axis=1)
        found[:, 0] += sign * wide * np.exp(-away / (2 * 5.5**2))
    return found


# Heads that are really wrong by as much as a drawing may be, mm at 1:6: a jaw 2 mm too wide or too
# narrow, and one cheek or the chin too far out or in.
GROSS = ("wide jaw", "cheek", "chin")


def _gross_field(rng, kind, places, at):
    found, sign = np.zeros_like(at), rng.choice([-1.0, 1.0])
    if kind == "wide jaw":
        for side, out in (("left", 1.0), ("right", -1.0)):
            away = ((at - places["gonion", side]) ** 2).sum(axis=1)
            found[:, 0] += sign * out * np.exp(-away / (2 * 5.5**2))
        return found
    if kind == "chin":
        middle, way = places["gnathion", "mid"], np.array([0.0, -1.0, 0.4])
    else:
        side = rng.choice(["left", "right"])
        middle = 0.5 * (places["gonion", side] + places["exocanthion", side])
        way = np.array([1.0 if side == "left" else -1.0, 0.0, 0.3])
    middle = at[((at - middle) ** 2).sum(axis=1).argmin()]
    away = ((at - middle) ** 2).sum(axis=1)
    return np.exp(-away / (2 * 4.0**2))[:, None] * sign * way * rng.uniform(0.9, 1.2)


def _normals(made):
    total = np.zeros_like(made.vertices, dtype=float)
    a, b, c = (made.vertices[made.faces[:, k]].astype(float) for k in range(3))
    across = np.cross(b - a, c - a)
    for k in range(3):
        np.add.at(total, made.faces[:, k], across)
    return total / np.maximum(np.linalg.norm(total, axis=1), 1e-9)[:, None]


def _free(made, place, stand):
    """Whether no face stands between a place and the camera (Möller & Trumbore, all faces)."""
    way = (stand - place) / np.linalg.norm(stand - place)
    start = place + 1.5 * way
    a, b, c = (made.vertices[made.faces[:, k]] for k in range(3))
    one, other = b - a, c - a
    p = np.cross(way, other)
    size = (one * p).sum(axis=1)
    size = np.where(np.abs(size) < 1e-12, 1e-12, size)
    s = start - a
    u = (s * p).sum(axis=1) / size
    q = np.cross(s, one)
    v = q @ way / size
    t = (other * q).sum(axis=1) / size
    return not ((u >= 0) & (v >= 0) & (u + v <= 1) & (t > 2.0)).any()


def sightings(rng, shot, made, normals, places, at, edge, *, slip):
    """Where a careful person marks what a shot shows of a head with a skin.

    A contour is marked on the silhouette `edge` (n, 2) px, some way along it.
    """
    rows = []
    a_mm = shot.focal / shot.distance
    *_, stand = truth.axes_of(shot)
    for key, place in places.items():
        normal = normals[at[key]]
        view = (stand - place) / np.linalg.norm(stand - place)
        if key[0] in truth.CONTOURS:
            middle = truth.seen_at(shot, place)
            off = np.linalg.norm(edge - middle, axis=1)
            n = int(off.argmin())
            if abs(normal @ view) > 0.4 or off[n] > 6.0 * a_mm:
                continue
            slid = n + round(rng.normal(0, truth.ALONG_MM) * a_mm / _step(edge))
            pixel = edge[slid % len(edge)]
        else:
            if normal @ view < 0.1 or not _free(made, place + 0.5 * normal, stand):
                continue
            moved = rng.normal(0, slip, 3)
            pixel = truth.seen_at(shot, place + moved - (moved @ normal) * normal)
        rows.append(_row(shot, key, pixel + rng.normal(0, shot.noise, 2)))
    return rows


def _step(edge):
    return float(np.median(np.linalg.norm(np.diff(edge, axis=0), axis=1)))


def _row(shot, key, pixel):
    return Sighting(shot.id, *key, (float(pixel[0]), float(pixel[1])), shot.noise, None, "seen")


def _shown(shot, places):
    """`truth.seen_at` of many places."""
    right, down, forward, stand = truth.axes_of(shot)
    ray = places - stand
    depth = ray @ forward
    return np.stack([shot.squeeze * shot.focal * (ray @ right) / depth + shot.centre[0],
                     shot.focal * (ray @ down) / depth + shot.centre[1]], axis=1)  # fmt: skip


def silhouette(shot, made):
    """(n, 2) px along the outer edge of a head in a still, and the vertex nearest to each."""
    at = _shown(shot, made.vertices)
    width, height = shot.size
    picture = np.zeros((height * FINE, width * FINE), np.uint8)
    for corners in np.round((at[made.faces] * FINE + (FINE - 1) / 2) * 2**BITS).astype(np.int32):
        cv2.fillConvexPoly(picture, corners, 1, lineType=cv2.LINE_8, shift=BITS)
    found, _ = cv2.findContours(picture, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    edge = (max(found, key=len).reshape(-1, 2) - (FINE - 1) / 2) / FINE
    inner = (edge > 2).all(axis=1) & (edge < np.array(shot.size) - 3).all(axis=1)
    edge = edge[inner][::FINE]
    return edge, cKDTree(at).query(edge)[1]


# Parts of an outline by where on the head they lie, full size: name, and which places.
PARTS = {
    "jaw": lambda p: (p[:, 1] < -45) & (p[:, 1] > -122) & (p[:, 2] > 0) & (np.abs(p[:, 0]) > 18),
    "cheek": lambda p: (p[:, 1] >= -45) & (p[:, 1] < 15) & (p[:, 2] > 15) & (np.abs(p[:, 0]) > 35),
    "chin": lambda p: (p[:, 1] < -80) & (p[:, 1] > -122) & (p[:, 2] > 40) & (np.abs(p[:, 0]) <= 18),
    "nose": lambda p: (p[:, 1] >= -80) & (p[:, 1] < 40) & (p[:, 2] > 60) & (np.abs(p[:, 0]) <= 20),
}


def _runs(flags):
    """Numbers of the flags that hang together on a ring."""
    if flags.all():
        return [np.arange(len(flags))]
    start = int(np.flatnonzero(~flags)[0])
    turned = np.roll(np.arange(len(flags)), -start)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], flags[turned].astype(int), [0]])))
    return [turned[a:b] for a, b in edges.reshape(-1, 2)]


def traced(
    rng,
    shot,
    made,
    edge,
    vertex,
    *,
    count=TRACED,
    alike=0.5,
    wander=0.7,
    hand=0.4,
    reach_mm=22.0,
    said=1.0,
):
    """Outlines of a still as a hand draws them: `count` points in all."""
    place = made.vertices[vertex]
    a_mm = shot.focal / shot.distance
    pieces = []
    for name, within in PARTS.items():
        flags = within(place)
        for run in _runs(flags):
            if len(run) > 12 * a_mm:
                side = "left" if place[run, 0].mean() > 0 else "right"
                label = name if name in {"chin", "nose"} else f"{name}-{side}"
                pieces.append((label, edge[run]))
    total = sum(len(run) for _, run in pieces)
    rows = []
    for n, (label, run) in enumerate(pieces):
        some = run[
            np.linspace(0, len(run) - 1, max(3, round(count * len(run) / total))).astype(int)
        ]
        smooth = np.stack([np.convolve(np.pad(run[:, k], 4, mode="edge"), np.ones(9) / 9, "valid")
                           for k in (0, 1)], axis=1)  # fmt: skip
        some = smooth[np.linspace(0, len(run) - 1, len(some)).astype(int)]
        way = np.gradient(some, axis=0)
        across = np.stack([way[:, 1], -way[:, 0]], axis=1)
        across /= np.linalg.norm(across, axis=1)[:, None]
        at = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(some, axis=0), axis=1))]) / a_mm
        apart = np.abs(at[:, None] - at[None])
        # A wander as smooth as a hand's, not the solver's exponential.
        root = np.linalg.cholesky(np.exp(-(apart**2) / (2 * reach_mm**2)) + 1e-6 * np.eye(len(at)))
        off = alike * rng.normal() + wander * root @ rng.normal(size=len(at))
        off = (off + hand * rng.normal(size=len(at))) * shot.noise
        moved = some + off[:, None] * across + rng.normal(0, shot.noise, (len(at), 1)) * way / (
            np.linalg.norm(way, axis=1)[:, None])  # fmt: skip
        rows += [OutlinePoint(shot.id, f"{label}-{n}", i, (float(x), float(y)), said * shot.noise)
                 for i, (x, y) in enumerate(moved)]  # fmt: skip
    return rows


def skinned(seed, kind, *, views=truth.SIX, head_px=900.0, noise=1.5, slip=0.0, placing_mm=0.05,
            cropped=False, count=TRACED, **drawn):  # fmt: skip
    """A scene of a head with a skin whose sculpt is wrong in one way, with outlines."""
    rng = np.random.Generator(np.random.Philox(key=[seed, 31 + sum(map(ord, kind))]))
    made, places = person(rng)
    at = {k: int(((made.vertices - p) ** 2).sum(axis=1).argmin()) for k, p in places.items()}
    angle, size = rng.normal(0, 0.05, 3), float(np.exp(rng.normal(0, 0.01))) / 6
    turn, shift = truth._turn(angle), rng.normal(0, 0.5, 3)
    exact = size * made.vertices @ turn.T + shift
    laid = {key: exact[i] for key, i in at.items()}
    off, moved = errors_on(rng, kind, laid, exact)
    sculpt = {key: laid[key] + off[key] for key in laid}
    shots = truth.shots(rng, views, head_px=head_px, noise=noise, cropped=cropped)
    normals = _normals(made)
    rows, lines = [], []
    for shot in shots:
        edge, vertex = silhouette(shot, made)
        rows += sightings(rng, shot, made, normals, places, at, edge, slip=slip)
        lines += traced(rng, shot, made, edge, vertex, count=count, **drawn)
    placed = placed_as(rng, sculpt, "r1", placing_mm)
    inputs = truth.inputs_of(shots, rows, placed, seed)
    scene = truth.Scene(replace(inputs, outlines=tuple(lines)), places, sculpt, shots)
    return Skin(scene, mesh(exact + moved, made.faces), made)
