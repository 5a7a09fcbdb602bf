"""One still's camera: right in a hundred random scenes, beside OpenCV's solver, mirrored or not."""

import numpy as np
import pytest

from numerics.scenes import head, pixels, rng_of, rotation
from sixwright.topics.likeness.solve.resection import (
    CameraPrior,
    StillPoints,
    resections,
    unmirrored,
)

WIDTH, HEIGHT = 1400.0, 1000.0


def belief():
    mean, sd = np.zeros(10), np.full(10, np.inf)
    mean[6:8], sd[6:8] = [(WIDTH - 1) / 2, (HEIGHT - 1) / 2], 20.0
    sd[8] = 1e-3
    mean[9], sd[9] = np.log(300.0), 0.8
    return CameraPrior(mean, sd)


def still(seed, noise=1.0, squeeze=1.0, wrong=0, far=1.0):
    """A still of a face from a random side, of places that face the camera."""
    rng = rng_of(seed)
    points, normals = head(rng, 40)
    turn = rotation(rng, rng.uniform(-85, 85), rng.uniform(-20, 20), rng.uniform(-15, 15))
    shift = np.array(
        [rng.normal(0, 3), rng.normal(0, 3), far * np.exp(rng.uniform(np.log(90), np.log(700)))]
    )
    focal = 18.0 * shift[2]
    centre = np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2])
    towards = -turn.T @ shift - points
    facing = (towards * normals).sum(axis=1) / np.linalg.norm(towards, axis=1) > 0.1
    points, normals = points[facing][:20], normals[facing][:20]
    place = pixels(points, turn, shift, focal, centre, squeeze)
    place = place + rng.normal(0, noise, place.shape)
    place[:wrong] += 90 * np.array([[np.cos(a), np.sin(a)] for a in rng.uniform(0, 6, wrong)]
                                   ).reshape(-1, 2)  # fmt: skip
    n = len(points)
    seen = StillPoints(place, WIDTH, np.full(n, noise), points, normals, np.full(n, 0.02))
    return seen, turn, shift, focal


def angle_deg(one, other):
    return np.degrees(np.arccos(np.clip((np.trace(one @ other.T) - 1) / 2, -1, 1)))


def test_a_hundred_random_stills_have_positive_depths_and_the_right_side():
    angles = []
    for seed in range(100):
        seen, turn, _, _ = still(seed)
        plain = resections(seen, belief(), seen.points.mean(axis=0))[0]
        depths = (seen.points @ plain.camera.rotation[0].T + plain.camera.translation()[0])[:, 2]
        assert (depths > 0).all()
        angles.append(angle_deg(plain.camera.rotation[0], turn))
    assert np.max(angles) < 8
    assert np.median(angles) < 1.5


@pytest.mark.parametrize("seed", range(6))
def test_it_agrees_with_opencv_where_the_focal_length_is_given(seed):
    """cv2.solvePnP (iterative, refined), opencv-python-headless 5.0, on the same sightings."""
    cv2 = pytest.importorskip("cv2")
    seen, _, shift, focal = still(seed)
    matrix = np.array([[focal, 0, (WIDTH - 1) / 2], [0, focal, (HEIGHT - 1) / 2], [0, 0, 1]])
    known = belief()
    known.sd[6:8] = 1e-3
    # The focal length given: through the distance that makes it, at the scale that is seen.
    known.mean[9], known.sd[9] = np.log(shift[2] + 1e-9), 10.0
    found = resections(seen, known, seen.points.mean(axis=0))[0]
    done, turn, moved = cv2.solvePnP(seen.points, seen.place_px, matrix, None,
                                     rvec=cv2.Rodrigues(found.camera.rotation[0])[0],
                                     tvec=found.camera.translation().T.copy(),
                                     useExtrinsicGuess=True)  # fmt: skip
    assert done
    theirs = cv2.projectPoints(seen.points, turn, moved, matrix, None)[0][:, 0]
    theirs_off = np.sqrt(((theirs - seen.place_px) ** 2).mean())
    ours_off = np.sqrt((found.residual_px**2).mean() / 2)
    # Ours has the focal length free as well: it can only fit better, and not by much.
    assert 0.8 * theirs_off < ours_off < 1.02 * theirs_off
    assert angle_deg(cv2.Rodrigues(turn)[0], found.camera.rotation[0]) < 3


@pytest.mark.parametrize("seed", range(12))
def test_a_mirrored_still_fits_better_mirrored(seed):
    seen, *_ = still(seed)
    mirrored_px = unmirrored(seen.place_px, WIDTH)
    turned = StillPoints(mirrored_px, WIDTH, seen.sd_px, seen.points, seen.outward, seen.slack_mm)
    plain, _, mirrored, _ = resections(turned, belief(), seen.points.mean(axis=0))
    assert (plain.mirrored, mirrored.mirrored) == (False, True)
    assert mirrored.cost + 25 < plain.cost
    assert not mirrored.hidden.any()


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 5])
def test_a_mirrored_still_from_far_away_fits_a_camera_behind_the_head_that_is_refused(seed):
    """Without perspective the two cannot be told by distances, only by what the head hides."""
    seen, *_ = still(seed, far=20.0)
    mirrored_px = unmirrored(seen.place_px, WIDTH)
    turned = StillPoints(mirrored_px, WIDTH, seen.sd_px, seen.points, seen.outward, seen.slack_mm)
    plain, _, mirrored, _ = resections(turned, belief(), seen.points.mean(axis=0))
    assert np.median(plain.residual_px) < 5  # by distances alone it would do
    assert plain.hidden.sum() >= 5
    assert mirrored.cost + 25 < plain.cost


def test_the_middle_of_the_first_pixel_becomes_that_of_the_last():
    """A still 100 px wide has columns 0 to 99; mirroring swaps them and undoes itself."""
    places = np.array([[0.0, 7.0], [99.0, 8.0], [49.5, 9.0]])
    assert unmirrored(places, 100.0).tolist() == [[99.0, 7.0], [0.0, 8.0], [49.5, 9.0]]


@pytest.mark.parametrize("seed", range(6))
def test_a_squeezed_still_fits_better_squeezed(seed):
    seen, *_ = still(seed, squeeze=0.75)
    plain, loose, *_ = resections(seen, belief(), seen.points.mean(axis=0))
    assert loose.cost + 25 < plain.cost
    assert np.exp(loose.camera.log_squeeze[0]) == pytest.approx(0.75, abs=0.03)


@pytest.mark.parametrize("seed", range(6))
def test_three_wrong_sightings_of_twenty_do_not_turn_it(seed):
    seen, turn, _, _ = still(seed, wrong=3)
    plain = resections(seen, belief(), seen.points.mean(axis=0))[0]
    assert angle_deg(plain.camera.rotation[0], turn) < 8
    assert (plain.residual_px[:3] > 30).all()


def test_no_sighting_is_refused():
    seen, *_ = still(0)
    empty = StillPoints(seen.place_px[:0], WIDTH, seen.sd_px[:0], seen.points[:0], seen.outward[:0],
                 seen.slack_mm[:0])  # fmt: skip
    with pytest.raises(ValueError, match="received 0"):
        resections(empty, belief(), np.zeros(3))
