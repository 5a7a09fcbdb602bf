"""Plain scenes for the numerics' tests: points, cameras and pixels by the folder's formula."""

import numpy as np

from sixwright.numerics.cameras import camera_of
from sixwright.topics.likeness.person.solution import person_fit
from sixwright.topics.likeness.solve.bundle import BundleProblem, Priors
from sixwright.topics.likeness.solve.resection import joined
from sixwright.topics.likeness.solve.sightings import Noise, Sightings


def rng_of(seed):
    return np.random.Generator(np.random.Philox(seed))


def head(rng, count=24):
    """Points of the front half of a ball of 18 mm radius, roughly a face at 1:6, and normals."""
    normals = rng.normal(0, 1, (count, 3))
    normals[:, 2] = np.abs(normals[:, 2])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    return 18 * normals * [0.7, 1.1, 0.9] + rng.normal(0, 1.0, (count, 3)), normals


def rotation(rng, yaw, pitch, roll):
    """A camera's rotation by angles in degrees: Rz Rx Ry of textbooks, y and z turned over."""
    a, b, c = np.radians([yaw, pitch, roll])
    about_y = np.array([[np.cos(a), 0, -np.sin(a)], [0, 1, 0], [np.sin(a), 0, np.cos(a)]])
    about_x = np.array([[1, 0, 0], [0, np.cos(b), -np.sin(b)], [0, np.sin(b), np.cos(b)]])
    about_z = np.array([[np.cos(c), -np.sin(c), 0], [np.sin(c), np.cos(c), 0], [0, 0, 1]])
    return about_z @ np.diag([1.0, -1.0, -1.0]) @ about_x @ about_y


def pixels(points, turn, shift, focal, centre, squeeze=1.0):
    """The folder's camera, written out once more."""
    inside = points @ turn.T + shift
    return np.column_stack([squeeze * focal * inside[:, 0] / inside[:, 2] + centre[0],
                            focal * inside[:, 1] / inside[:, 2] + centre[1]])  # fmt: skip


def several(seed, yaws=(-60, -25, 5, 30, 75), noise=1.0, count=24):
    """Cameras, points and a problem whose sightings have this much noise."""
    rng = rng_of(seed)
    points, normals = head(rng, count)
    anchor = points.mean(axis=0)
    cameras, rows = [], []
    for k, yaw in enumerate(yaws):
        turn = rotation(rng, yaw, rng.uniform(-12, 12), rng.uniform(-8, 8))
        shift = np.array([rng.normal(0, 3), rng.normal(0, 3), rng.uniform(180, 500)])
        focal = 20.0 * shift[2]
        centre = np.array([700.0, 500.0])
        cameras.append(camera_of(anchor, turn, shift, focal_px=focal, centre_px=centre))
        place = pixels(points, turn, shift, focal, centre) + rng.normal(0, noise, (count, 2))
        rows += [(k, i, *place[i]) for i in range(count)]
    table = np.array(rows)
    n = len(table)
    seen = Sightings(table[:, 0].astype(np.int64), table[:, 1].astype(np.int64), table[:, 2:],
                     np.full(n, max(noise, 1e-3)), np.zeros((n, 3, 3)), np.zeros(n, bool),
                     normals[table[:, 1].astype(int)], np.full((n, 2), np.nan), 1.0)  # fmt: skip
    stills = joined(cameras)
    return stills, points, BundleProblem(seen, priors(stills, points), Noise(np.ones(n)))


def priors(cameras, points, centre_sd=1e-3):
    """Centre and squeeze held, distance believed loosely, points hardly at all."""
    k = len(cameras)
    mean, sd = np.zeros((k, 10)), np.full((k, 10), np.inf)
    mean[:, 6:8], sd[:, 6:8] = cameras.centre_px, centre_sd
    sd[:, 8] = 1e-3
    mean[:, 9], sd[:, 9] = np.log(300), 0.8
    return Priors(mean, sd, np.arange(k), np.zeros(k), np.full(k, np.inf), points, 33.0)


def rejected(inputs):
    """(still, landmark, side) of the sightings that a whole solution leaves out."""
    fit = person_fit(inputs, "who")
    return {(still, *key) for still in fit.stills for key in fit.rejected(still)}
