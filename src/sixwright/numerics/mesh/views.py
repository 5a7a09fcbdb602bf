"""A mesh as a camera sees it: by one ray a pixel, and nine where its edge runs through a pixel."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Flags, Ints, Mesh, bounds
from sixwright.numerics.mesh.normals import vertex_normals
from sixwright.numerics.mesh.rays import Hits, RayTree
from sixwright.numerics.mesh.shells import crossed
from sixwright.numerics.rotations import Floats

FINER = 3  # rays along each side of a pixel through which an edge runs
# Own choice, so that form reads without colour: most of the light from the camera's upper left,
# some from the camera itself, so that no side is flat, and a little from everywhere.
LIGHT = np.array([-0.45, -0.60, -0.66])
FROM_CAMERA, AMBIENT = 0.28, 0.14
# A mesh of more faces has several to a pixel: each is shaded by its own plane.
SMOOTHED_TO = 1_000_000


@dataclass(frozen=True, slots=True)
class Lens:
    """A camera that an image was taken with: X_c = R X + t; x right, y down, z forward.

    Attributes
    ----------
    rotation, translation
        (3, 3) and (3,), from the mesh's frame and in its unit.
    focal_px, middle_px
        Focal length, and principal point (2,) of the image before it is mirrored, pixels.
    squeeze
        Width of the image over that of the scene.
    mirrored_width_px
        Width of an image that is mirrored; None where it is not.
    """

    rotation: Floats
    translation: Floats
    focal_px: float
    middle_px: Floats
    squeeze: float = 1.0
    mirrored_width_px: float | None = None

    @property
    def eye(self) -> Floats:
        """(3,): where the camera stands, in the mesh's frame."""
        at: Floats = -self.rotation.T @ self.translation
        return at

    def pixels(self, places: Floats) -> Floats:
        """(n, 2): where places of the mesh's frame fall in the image, the top left centre (0, 0).

        Source
        ------
        hartley-zisserman, 6.1; the signs are those of docs/topics/likeness.md.
        """
        x, y, z = (places @ self.rotation.T + self.translation).T
        u = self.squeeze * self.focal_px * x / z + self.middle_px[0]
        v = self.focal_px * y / z + self.middle_px[1]
        if self.mirrored_width_px is not None:
            u = self.mirrored_width_px - 1 - u
        return np.stack([u, v], axis=1)

    def directions(self, pixels: Floats) -> Floats:
        """(n, 3): from the eye through pixels (n, 2), in the mesh's frame; of any length."""
        u, v = pixels.T
        if self.mirrored_width_px is not None:
            u = self.mirrored_width_px - 1 - u
        x = (u - self.middle_px[0]) / (self.squeeze * self.focal_px)
        y = (v - self.middle_px[1]) / self.focal_px
        along: Floats = np.stack([x, y, np.ones_like(x)], axis=1) @ self.rotation
        return along

    def pixels_a_unit(self, place: Floats) -> tuple[float, float]:
        """How many pixels a unit of length is, across and down, at the depth of a place (3,)."""
        depth = float((self.rotation @ place + self.translation)[2])
        return self.squeeze * self.focal_px / depth, self.focal_px / depth


@dataclass(frozen=True, slots=True)
class ImageWindow:
    """The part of an image that is shown: pixel (i, j) looks at (left + i step, top + j step).

    Attributes
    ----------
    left, top, step
        In the image's pixels.
    width, height
        In pixels of what is shown.
    """

    left: float
    top: float
    step: float
    width: int
    height: int

    def shown(self, pixels: Floats) -> Floats:
        """(n, 2): places of the image in pixels of the window."""
        at: Floats = (pixels - np.array([self.left, self.top])) / self.step
        return at

    def grid(self) -> Floats:
        """(height width, 2): the place of the image at each of its pixels, row by row."""
        x = self.left + self.step * np.arange(self.width)
        y = self.top + self.step * np.arange(self.height)
        grid = np.stack(np.meshgrid(x, y), axis=-1)
        return grid.reshape(-1, 2)


@dataclass(frozen=True, slots=True, eq=False)
class MeshImage:
    """What a window shows of a mesh; all (height, width).

    Attributes
    ----------
    face
        The face at the pixel's middle, -1 where there is none.
    depth
        Along the camera's axis, in the mesh's unit; infinite where there is none.
    cover
        How much of the pixel is mesh, 0 to 1.
    shade
        How light the mesh is there, 0 to 1; 0 where there is none.
    """

    face: Ints
    depth: Floats
    cover: NDArray[np.float32]
    shade: NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """A mesh made ready to be looked at: its ray tree, and its normals.

    Attributes
    ----------
    normals
        (n, 3), at the vertices; None of a mesh whose faces are shaded each by its own plane.
    """

    tree: RayTree
    normals: NDArray[np.float32] | None

    @property
    def middle(self) -> Floats:
        """(3,): the middle of the box around it."""
        low, high = bounds(self.tree.mesh)
        middle: Floats = (low + high) / 2
        return middle

    def met(
        self, start: tuple[float, float, float], along: tuple[float, float, float]
    ) -> tuple[float, float, float] | None:
        """Where one ray meets the mesh first; None where it meets nothing.

        Raises
        ------
        InputError
            If `along` has no length, or a number is not finite.
        """
        hits = self.tree.first_hits(np.array([start]), np.array([along]))
        if not hits.met[0]:
            return None
        x, y, z = (float(v) for v in hits.place[0])
        return x, y, z


def model_of(mesh: Mesh) -> Model:
    """A mesh made ready: some three seconds for five million faces.

    Raises
    ------
    InputError
        If it has no face.
    """
    is_smoothed = len(mesh.faces) <= SMOOTHED_TO
    return Model(RayTree(mesh), vertex_normals(mesh).astype(np.float32) if is_smoothed else None)


def view(model: Model, lens: Lens, window: ImageWindow) -> MeshImage:
    """A mesh through a lens.

    Parameters
    ----------
    model
        Made ready.
    lens
        The camera, in the mesh's frame.
    window
        What of its image is shown, and how finely.

    Raises
    ------
    InputError
        If the window has no pixel, or a number is not finite.
    """
    if window.width < 1 or window.height < 1 or not window.step > 0:
        raise InputError(f"window must have pixels of some size; received {window!r}.")
    shape = (window.height, window.width)
    hits = model.tree.first_hits(lens.eye, lens.directions(window.grid()))
    depth = _depth(lens, hits).reshape(shape)
    shade = _shade(model, lens, hits).reshape(shape).astype(np.float32)
    cover = hits.met.reshape(shape).astype(np.float32)
    rough = _edges(cover > 0, depth, model)
    if rough.any():
        cover[rough], shade[rough] = _finer(model, lens, window, rough)
    return MeshImage(hits.face.reshape(shape), depth, cover, shade)


def outline(seen: MeshImage, *, jump: float) -> Flags:
    """(height, width): pixels on the mesh's edge, or where it steps back behind itself.

    Parameters
    ----------
    seen
        A view.
    jump
        How far it steps back between two pixels beside each other, in the mesh's unit.
    """
    depth = np.where(np.isfinite(seen.depth), seen.depth, 1e30)
    padded = np.pad(depth, 1, mode="edge")
    behind = np.maximum.reduce(
        [padded[:-2, 1:-1], padded[2:, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:]]
    )
    edge: Flags = np.isfinite(seen.depth) & (behind - depth > jump)
    return edge


def _depth(lens: Lens, hits: Hits) -> Floats:
    away = np.where(hits.met[:, None], hits.place, 0.0) @ lens.rotation[2] + lens.translation[2]
    depth: Floats = np.where(hits.met, away, np.inf)
    return depth


def _shade(model: Model, lens: Lens, hits: Hits) -> Floats:
    """(r,): light on what each ray meets, by the normal between the face's corners."""
    shade = np.zeros(len(hits.face))
    met = np.flatnonzero(hits.met)
    if not len(met):
        return shade
    normal = _normals(model, hits.face[met], hits.place[met])
    turned = normal @ lens.rotation.T
    turned /= np.maximum(np.sqrt((turned * turned).sum(axis=1)), 1e-300)[:, None]
    turned[turned[:, 2] > 0] *= -1  # the inner side of an open surface is lit too
    lit = np.clip(turned @ (LIGHT / np.linalg.norm(LIGHT)), 0, 1)
    ahead = FROM_CAMERA * -turned[:, 2]
    shade[met] = AMBIENT + ahead + (1 - AMBIENT - FROM_CAMERA) * lit
    return shade


def _normals(model: Model, face: Ints, places: Floats) -> Floats:
    """(r, 3): which way the mesh looks at places of its faces; of any length."""
    mesh = model.tree.mesh
    corners = mesh.faces.take(face, axis=0, mode="clip")
    if model.normals is None:
        a, b, c = (
            mesh.vertices.take(corners[:, k], axis=0, mode="clip").astype(np.float64)
            for k in range(3)
        )
        return crossed(b - a, c - a)
    weights = _weights(mesh, corners, places)
    smooth: Floats = np.zeros((len(face), 3))
    for k in range(3):
        smooth += weights[:, k, None] * model.normals.take(corners[:, k], axis=0, mode="clip")
    return smooth


def _weights(mesh: Mesh, corners: Ints, places: Floats) -> Floats:
    """(r, 3): how near each place is to the three corners of its face, summing to 1."""
    a, b, c = (mesh.vertices.take(corners[:, k], axis=0, mode="clip") for k in range(3))
    first, second, at = (np.asarray(p, np.float64) for p in (b - a, c - a, places - a))
    d11, d12, d22 = ((p * q).sum(axis=1) for p, q in (
        (first, first), (first, second), (second, second)))  # fmt: skip
    d1, d2 = (at * first).sum(axis=1), (at * second).sum(axis=1)
    size = np.maximum(d11 * d22 - d12 * d12, 1e-300)
    v, w = (d22 * d1 - d12 * d2) / size, (d11 * d2 - d12 * d1) / size
    weights: Floats = np.clip(np.stack([1 - v - w, v, w], axis=1), 0, 1)
    return weights


def _edges(met: Flags, depth: Floats, model: Model) -> Flags:
    """Pixels beside which the mesh ends, or steps back by a hundredth of its size."""
    low, high = bounds(model.tree.mesh)
    jump = float(np.linalg.norm(high - low)) / 100
    edge = np.zeros(met.shape, np.bool_)
    far = np.where(met, depth, 1e30)
    for axis in (0, 1):
        steps = np.abs(np.diff(far, axis=axis)) > jump
        ends = [(slice(None),) * axis + (part,) for part in (slice(1, None), slice(None, -1))]
        for end in ends:
            edge[end] |= steps
    return edge


def _finer(
    model: Model, lens: Lens, window: ImageWindow, rough: Flags
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Cover and shade of some pixels, each by several rays."""
    rows, columns = np.nonzero(rough)
    middle = np.stack(
        [window.left + window.step * columns, window.top + window.step * rows], axis=1
    )
    part = (np.arange(FINER) - (FINER - 1) / 2) / FINER * window.step
    within = np.stack(np.meshgrid(part, part), axis=-1).reshape(-1, 2)
    pixels = (middle[:, None] + within).reshape(-1, 2)
    hits = model.tree.first_hits(lens.eye, lens.directions(pixels))
    met = hits.met.reshape(len(rows), -1)
    shade = _shade(model, lens, hits).reshape(len(rows), -1)
    count = met.sum(axis=1)
    mean = shade.sum(axis=1) / np.maximum(count, 1)
    return (count / FINER**2).astype(np.float32), mean.astype(np.float32)
