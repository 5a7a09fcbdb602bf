"""A head that was turned, moved and changed in one place is laid back where it was."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from line.heads import plain_head
from numerics.mesh.shapes import mesh
from sixwright.numerics.mesh.laying import laid_on

NEAR_MM = 0.05  # of a head of 40 mm cut to triangles of 1.2 mm


@pytest.mark.parametrize(
    ("degrees", "shift"),
    [((0, 0, 0), (0, 0, 0)), ((5, -3, 2), (0.4, -0.2, 0.3)), ((-8, 15, 6), (4, -3, 6))],
)
def test_it_comes_back_to_where_it_was(degrees, shift):
    before, after = plain_head(), plain_head(nose=30.0)  # the sculptor made the nose longer
    turn = Rotation.from_euler("xyz", degrees, degrees=True).as_matrix()
    moved = mesh(after.vertices @ turn.T + shift, after.faces, np.float32)
    found = laid_on(before, moved)
    assert found.scale == 1
    wanted = before.vertices @ turn.T + shift
    assert np.abs(found.of(before.vertices.astype(float)) - wanted).max() < NEAR_MM
