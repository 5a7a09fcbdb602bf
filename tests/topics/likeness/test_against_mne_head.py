"""Outlines of the closed head surface that the package mne carries, dented where it is known.

The file is `mne/data/fsaverage/fsaverage-head.fif` of mne 1.13.2 (BSD-3-Clause; the wheel of 7.7 MB
needs matplotlib and more, so it is no requirement of these tests: they are skipped where it is not
there). Run against it on 2026-11-28. Silhouettes are filled by OpenCV, face by face.
"""

import importlib.util
from pathlib import Path

import cv2
import numpy as np
import pytest
from scipy.spatial import cKDTree

from numerics.mesh.shapes import mesh
from numerics.mesh.test_views import BITS, by_opencv
from sixwright.line.likeness import OutlinePoint
from sixwright.numerics.cameras import camera_of
from sixwright.numerics.mesh.closure import closure
from sixwright.numerics.mesh.shells import shells
from sixwright.numerics.mesh.views import Lens
from sixwright.numerics.rotations import facing
from sixwright.numerics.similarity import Similarity
from sixwright.topics.likeness.outlines.drawn import across, drawn_on, shown_rim
from sixwright.topics.likeness.solids import Solid

FOUND = importlib.util.find_spec("mne")
pytestmark = pytest.mark.skipif(FOUND is None, reason="the package mne is not installed")
VERTICES, TRIANGLES = 3105, 3106  # FIFF_BEM_SURF_NODES, FIFF_BEM_SURF_TRIANGLES
SHAPE_BYTES = 12  # behind a matrix stand its sides and their number
FINE, SIDE, FOCAL, AWAY = 8, 1000, 6500.0, 330.0


def tags(content):
    """Kind and bytes of each tag of a FIF file: four big-endian numbers, then so many bytes."""
    at = 0
    while at < len(content):
        kind, _, size, onward = np.frombuffer(content[at : at + 16], ">i4")
        yield kind, content[at + 16 : at + 16 + size]
        at = onward if onward > 0 else at + 16 + size
        if onward < 0:
            return


@pytest.fixture(scope="module")
def head():
    """The surface at 1:6 in mm, turned into the sculpt frame: x to its left, y up, z forward."""
    file = Path(next(iter(FOUND.submodule_search_locations))) / "data/fsaverage/fsaverage-head.fif"
    told = dict(tags(file.read_bytes()))
    places = (
        np.frombuffer(told[VERTICES][:-SHAPE_BYTES], ">f4").reshape(-1, 3).astype(float) * 1000 / 6
    )
    faces = np.frombuffer(told[TRIANGLES][:-SHAPE_BYTES], ">i4").reshape(-1, 3).astype(np.int32) - 1
    left_up_ahead = np.array([[-1.0, 0, 0], [0, 0, 1], [0, 1, 0]])  # its x right, y ahead, z up
    return mesh(places @ left_up_ahead.T, faces)


def test_it_is_one_closed_surface_that_looks_out(head):
    told = shells(head, closure(head))
    assert len(told) == 1
    assert told.open_edges[0] == 0
    assert told.euler[0] == 2
    assert told.volume[0] > 0


def seen_by(yaw):
    turn = facing(np.radians(yaw), 0.1)
    shift = np.array([0.0, 0.0, AWAY])
    middle = np.full(2, SIDE / 2.0)
    one = camera_of(np.zeros(3), turn, shift, focal_px=FOCAL, centre_px=middle)
    return one, Lens(turn, shift, FOCAL, middle)


def silhouette(made, lens):
    at = by_opencv(made.vertices, lens)
    picture = np.zeros((SIDE * FINE, SIDE * FINE), np.uint8)
    for corners in np.round((at[made.faces] * FINE + (FINE - 1) / 2) * 2**BITS).astype(np.int32):
        cv2.fillConvexPoly(picture, corners, 1, lineType=cv2.LINE_8, shift=BITS)
    found, _ = cv2.findContours(picture, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    edge = (max(found, key=len).reshape(-1, 2) - (FINE - 1) / 2) / FINE
    return edge[(edge > 2).all(axis=1) & (edge < SIDE - 3).all(axis=1)]


@pytest.mark.parametrize("yaw", [0, 50, 88])
def test_a_known_dent_is_found_along_the_outline_and_nothing_beside_it(head, yaw):
    one, lens = seen_by(yaw)
    edge = silhouette(head, lens)
    middle = head.vertices[cKDTree(by_opencv(head.vertices, lens)).query(edge[len(edge) // 3])[1]]
    away = ((head.vertices - middle) ** 2).sum(axis=1)
    out = middle - head.vertices.mean(axis=0)
    move = np.exp(-away / (2 * 4.0**2))[:, None] * 0.7 * out / np.linalg.norm(out)
    person = mesh(head.vertices + move, head.faces)
    rows = [OutlinePoint("s", "skull", n, (float(x), float(y)), 1.0)
            for n, (x, y) in enumerate(silhouette(person, lens)[:: 4 * FINE])]  # fmt: skip
    same = Similarity(1.0, np.eye(3), np.zeros(3))
    found = across(drawn_on("s", rows, None)[0], shown_rim(Solid(head).rim(lens.eye), one, same), 0)
    nearest = cKDTree(head.vertices).query(found.place_mm)[1]
    true = (found.normal * move[nearest]).sum(axis=1)
    off = found.off_mm - true
    assert len(found.rows) > 0.85 * len(rows)
    assert np.median(np.abs(off)) < 0.03
    assert np.quantile(np.abs(off), 0.9) < 0.12
    assert np.corrcoef(found.off_mm, true)[0, 1] > 0.8
    assert np.abs(true).max() > 0.2
