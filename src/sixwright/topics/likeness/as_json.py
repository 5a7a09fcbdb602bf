"""The answer of likeness as data, as docs and `check --json` lay it out."""

from sixwright.topics.likeness.model import (
    Answer,
    Feature,
    LandmarkAnswer,
    RoundAnswer,
    StillAnswer,
    Vector,
)

AXES: tuple[Vector, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def as_json(answer: Answer) -> list[dict[str, object]]:
    """The answer as `check --json` gives it: null for what is unknown."""
    return [_round_json(one) for one in answer.rounds]


def _round_json(one: RoundAnswer) -> dict[str, object]:
    return {
        "round": one.round,
        "person": one.person,
        "expression": one.expression,
        "gauge": {
            "landmarks": [list(key) for key, _ in one.gauge],
            "weights": [weight for _, weight in one.gauge],
        },
        "smallest_visible_error": [
            {"landmark": mark.landmark, "side": mark.side, "direction": list(axis), "mm": mm}
            for mark in one.landmarks
            for axis, mm in zip(AXES, mark.smallest_mm, strict=True)
        ],
        "stills": [_still_json(still) for still in one.stills if still.used],
        "landmarks": [_landmark_json(mark) for mark in one.landmarks],
        "features": [_feature_json(feature) for feature in one.features],
        "next_views": [
            {"yaw_deg": view.yaw_deg, "pitch_deg": view.pitch_deg, "gain": view.gain}
            for view in one.next_views
        ],
    }


def _still_json(still: StillAnswer) -> dict[str, object]:
    f = still.f_px
    return {
        "id": still.id,
        "f_px": None if f is None else {"value": f.value, "low": f.low, "high": f.high},
        "c_px": None if still.c_px is None else list(still.c_px),
        "squeeze": still.squeeze,
        "mirrored": still.mirrored,
        "R": None if still.rotation is None else [list(row) for row in still.rotation],
        "t_mm": None if still.t_mm is None else list(still.t_mm),
        "residual_rms_px": still.residual_rms_px,
        "rejected": [list(key) for key in still.rejected],
    }


def _landmark_json(mark: LandmarkAnswer) -> dict[str, object]:
    covariance = mark.covariance_mm2
    return {
        "landmark": mark.landmark,
        "side": mark.side,
        "sightings": mark.sightings,
        "correction_mm": None if mark.correction_mm is None else list(mark.correction_mm),
        "covariance_mm2": None if covariance is None else [list(row) for row in covariance],
        "p_adjusted": mark.p_adjusted,
        "chance_off": mark.chance_off,
        "ask_mm": None if mark.ask_mm is None else list(mark.ask_mm),
        "blind": [list(direction) for direction in mark.blind],
        "verdict": mark.verdict.value,
    }


def _feature_json(feature: Feature) -> dict[str, object]:
    size = feature.size
    return {
        "feature": feature.name,
        "landmarks": [list(key) for key in feature.landmarks],
        "move_mm": None if feature.move_mm is None else list(feature.move_mm),
        "covariance_mm2": [list(row) for row in feature.covariance_mm2],
        "size": None if size is None else {"value": size.value, "low": size.low, "high": size.high},
        "chance_off": feature.chance_off,
        "verdict": feature.verdict.value,
    }
