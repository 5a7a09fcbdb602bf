"""People, heads, cameras and sightings made for tests: nothing here is shared with the solver.

A head is an ellipsoid with a nose; a place is seen where the straight line to the camera meets
neither. Contours are places of a little ball under the skin, so that each view shows other flesh.
Lengths are mm at full size until a sculpt is made; then mm at 1:6.
"""

from dataclasses import dataclass, field, replace
from math import cos, radians, sin

import numpy as np

from sixwright.line.likeness import Placement, Round, Sculpt, Sighting, Still
from sixwright.topics.likeness.model import Inputs

# x to the figure's left, y up, z out of the face; a face of round numbers, drawn by eye.
PLACES = {
    ("glabella", "mid"): (0, 18, 96),
    ("sellion", "mid"): (0, 4, 95),
    ("pronasale", "mid"): (0, -34, 122),
    ("subnasale", "mid"): (0, -47, 104),
    ("labiale-superius", "mid"): (0, -59, 106),
    ("stomion", "mid"): (0, -66, 103),
    ("labiale-inferius", "mid"): (0, -73, 104),
    ("pogonion", "mid"): (0, -96, 99),
    ("gnathion", "mid"): (0, -112, 88),
    ("endocanthion", "left"): (17, 0, 78),
    ("exocanthion", "left"): (45, 1, 70),
    ("alare", "left"): (17, -39, 98),
    ("cheilion", "left"): (25, -67, 88),
    ("tragion", "left"): (70, -10, 4),
    ("frontotemporale", "left"): (53, 28, 62),
    ("superciliare", "left"): (29, 21, 90),
    ("gonion", "left"): (55, -78, 20),
}  # fmt: skip
CONTOURS = {"gonion", "gnathion"}
BALL_MM = 9.0  # of a contour's little ball, full size
ALONG_MM = 2.5  # how far along the outline its flesh is taken for the landmark
SKULL = (np.array([0.0, 0.0, 0.0]), np.array([67.0, 125.0, 92.0]))
NOSE = (np.array([0.0, -28.0, 100.0]), np.array([10.0, 20.0, 17.0]))
CHIN = np.array([0.0, -92.0, 78.0])  # middle of a ball through the two places of the chin
HEAD_MM = 230.0


@dataclass(frozen=True)
class Shot:
    """A camera of the truth: full-size mm, degrees, px."""

    id: str
    yaw: float
    pitch: float
    roll: float
    distance: float
    focal: float
    centre: tuple[float, float]
    size: tuple[int, int]
    noise: float
    squeeze: float = 1.0
    cropped: bool = False
    mirrored: bool = False
    expression: str = "neutral"


@dataclass
class Scene:
    """A line's likeness data with what is behind them."""

    inputs: Inputs
    person: dict  # key -> full-size mm
    sculpt: dict  # key -> mm at 1:6, without placement errors
    shots: list
    wrong: set = field(default_factory=set)  # (still, landmark, side)
    people: dict = field(default_factory=dict)  # expression -> places


def person(rng, *, spread=3.0):
    """A person: the face above, each place moved, left and right unlike."""
    places = {}
    for (name, side), place in PLACES.items():
        places[name, side] = np.array(place, float) + rng.normal(0, spread, 3)
        if side == "left":
            mirrored = np.array([-place[0], place[1], place[2]], float)
            places[name, "right"] = mirrored + rng.normal(0, spread, 3)
    for key, place in places.items():
        if key[0] not in CONTOURS:
            places[key] = _out_of(place, SKULL, 1.02)
    return places


def _out_of(place, ball, factor):
    """A place moved out along its ray until it lies on or outside an ellipsoid."""
    centre, axes = ball
    size = np.sqrt((((place - centre) / axes) ** 2).sum())
    return place if size >= factor else centre + (place - centre) * factor / size


def axes_of(shot):
    """Right, down and forward of a camera, as rows, and where it stands."""
    yaw, pitch, roll = radians(shot.yaw), radians(shot.pitch), radians(shot.roll)
    stand = shot.distance * np.array([sin(yaw) * cos(pitch), sin(pitch), cos(yaw) * cos(pitch)])
    stand = stand + np.array([0.0, -10.0, 45.0])
    forward = (np.array([0.0, -10.0, 45.0]) - stand) / shot.distance
    side = np.cross(forward, [0.0, 1.0, 0.0])
    side /= np.linalg.norm(side)
    under = np.cross(forward, side)
    right = cos(roll) * side + sin(roll) * under
    down = -sin(roll) * side + cos(roll) * under
    return right, down, forward, stand


def seen_at(shot, place):
    """The pixel at which a shot shows a place, before any mirroring."""
    right, down, forward, stand = axes_of(shot)
    ray = place - stand
    depth = ray @ forward
    assert depth > 0
    return np.array([shot.squeeze * shot.focal * (ray @ right) / depth + shot.centre[0],
                     shot.focal * (ray @ down) / depth + shot.centre[1]])  # fmt: skip


def blocked(place, stand, ball):
    """Whether the straight line from a place to the camera passes through an ellipsoid."""
    centre, axes = ball
    start, way = (place - centre) / axes, (stand - place) / axes
    a, b, c = way @ way, start @ way, start @ start - 1
    roots = b * b - a * c
    if roots <= 0:
        return False
    leave = (-b + np.sqrt(roots)) / a
    enter = (-b - np.sqrt(roots)) / a
    return leave > 0.004 and leave - max(enter, 0.0) > 0.004


def normal_at(key, place):
    """Outward at a place: under the chin as of the chin's ball, elsewhere as of the skull."""
    centre, axes = (CHIN, 1.0) if key[0] == "gnathion" else SKULL
    normal = (place - centre) / axes**2
    return normal / np.linalg.norm(normal)


def show(shot, key, place, rng, *, slip):
    """The pixel that a careful person would mark, or None where the place is hidden."""
    *_, stand = axes_of(shot)
    view = (stand - place) / np.linalg.norm(stand - place)
    normal = normal_at(key, place)
    if key[0] in CONTOURS:
        if abs(normal @ view) > 0.4:
            return None
        edge = normal - (normal @ view) * view
        edge /= np.linalg.norm(edge)
        along = np.cross(edge, view)
        flesh = place - BALL_MM * normal + BALL_MM * edge + rng.normal(0, ALONG_MM) * along
        return seen_at(shot, flesh)
    if normal @ view < 0.05 or blocked(place, stand, SKULL):
        return None
    if key[0] not in {"pronasale", "alare", "subnasale"} and blocked(place, stand, NOSE):
        return None
    moved = rng.normal(0, slip, 3)
    return seen_at(shot, place + moved - (moved @ normal) * normal)


def shots(rng, views, *, head_px=900.0, noise=1.5, cropped=False):
    """Shots from some yaws, each with its own lens, distance, tilt and frame."""
    made = []
    for n, yaw in enumerate(views):
        distance = float(np.exp(rng.uniform(np.log(900), np.log(3500))))
        size = (int(1.5 * head_px), int(1.3 * head_px))
        offset = rng.normal(0, 0.006 * size[0], 2)
        crop = cropped and n % 2 == 0
        if crop:
            offset = offset + rng.uniform(-0.25, 0.25, 2) * size[0]
        made.append(
            Shot(f"s{n}", yaw + rng.normal(0, 3), rng.uniform(-14, 14), rng.normal(0, 5), distance,
                 head_px / HEAD_MM * distance * float(np.exp(rng.normal(0, 0.05))),
                 ((size[0] - 1) / 2 + offset[0], (size[1] - 1) / 2 + offset[1]), size,
                 noise, cropped=bool(crop))
        )  # fmt: skip
    return made


SIX = (0.0, 22.0, -28.0, 48.0, -62.0, 86.0)


def sighted(rng, shot, places, *, slip, stated_px=None):
    """Sightings of everything that a shot shows."""
    rows = []
    for key, place in places.items():
        pixel = show(shot, key, place, rng, slip=slip)
        if pixel is None:
            continue
        pixel = pixel + rng.normal(0, shot.noise, 2)
        if shot.mirrored:
            pixel = np.array([shot.size[0] - 1 - pixel[0], pixel[1]])
        rows.append(Sighting(shot.id, *key, (float(pixel[0]), float(pixel[1])),
                             stated_px or shot.noise, None, "seen"))  # fmt: skip
    return rows


def spoil(rng, rows, share, px=60.0):
    """The same sightings with some of them off by so many pixels; and which."""
    wrong, spoilt = set(), []
    for row in rows:
        if rng.uniform() < share:
            angle = rng.uniform(0, 2 * np.pi)
            x, y = row.place_px
            place = (x + px * cos(angle), y + px * sin(angle))
            wrong.add((row.still, row.landmark, row.side))
            spoilt.append(replace(row, place_px=place))
        else:
            spoilt.append(row)
    return spoilt, wrong


def carved(rng, places, error_mm):
    """A sculpt of a person: at 1:6, in a frame and at a size of its own, every place off."""
    angle = rng.normal(0, 0.05, 3)
    turn = _turn(angle)
    size = float(np.exp(rng.normal(0, 0.01))) / 6
    shift = rng.normal(0, 0.5, 3)
    return {
        key: size * (turn @ (place + rng.normal(0, error_mm, 3))) + shift
        for key, place in places.items()
    }


def _turn(angle):
    a, b, c = angle
    about_x = np.array([[1, 0, 0], [0, cos(a), -sin(a)], [0, sin(a), cos(a)]])
    about_y = np.array([[cos(b), 0, sin(b)], [0, 1, 0], [-sin(b), 0, cos(b)]])
    about_z = np.array([[cos(c), -sin(c), 0], [sin(c), cos(c), 0], [0, 0, 1]])
    return about_z @ about_y @ about_x


def scene(seed, views=SIX, *, head_px=900.0, noise=1.5, error_mm=1.15, slip=0.0, wrong=0.0,
          placing_mm=0.02, cropped=False, stated_px=None, change=None):  # fmt: skip
    """A whole scene: one person, one sculpt in one round, stills, sightings."""
    rng = np.random.Generator(np.random.Philox(seed))
    who = person(rng)
    sculpt = carved(rng, who, error_mm)
    made = shots(rng, views, head_px=head_px, noise=noise, cropped=cropped)
    if change is not None:
        made = [change(n, shot) for n, shot in enumerate(made)]
    rows = [row for shot in made for row in sighted(rng, shot, who, slip=slip, stated_px=stated_px)]
    rows, spoilt = spoil(rng, rows, wrong)
    placed = [
        Placement("r1", *key, tuple(float(v) for v in place + rng.normal(0, placing_mm, 3)),
                  placing_mm)
        for key, place in sculpt.items()
    ]  # fmt: skip
    return Scene(inputs_of(made, rows, placed, seed), who, sculpt, made, spoilt)


def without_wrong(made):
    """A scene's inputs without the sightings that were spoilt."""
    rows = made.inputs.sightings
    right = tuple(s for s in rows if (s.still, s.landmark, s.side) not in made.wrong)
    return replace(made.inputs, sightings=right)


def inputs_of(made, rows, placed, seed=1):
    """Inputs of the topic with one sculpt of one round."""
    return Inputs(
        line="test", seed=seed, terms={},
        sculpts={"head": Sculpt("head", None, "who")},
        rounds={"r1": Round("r1", "head", 1)},
        placements=tuple(placed), targets=(),
        stills={shot.id: still_of(shot) for shot in made},
        sightings=tuple(rows),
    )  # fmt: skip


def still_of(shot, **rest):
    """The row of a still, which says nothing of its lens."""
    said = {"squeeze": shot.squeeze, "mirrored": False} | rest
    return Still(
        shot.id,
        width_px=float(shot.size[0]),
        height_px=float(shot.size[1]),
        person="who",
        expression=shot.expression,
        cropped=shot.cropped,
        **said,
    )


def laid(places, onto, weights):
    """Weighted least squares by Horn's quaternions: another method than the solver's."""
    keys = list(places)
    p = np.array([places[k] for k in keys])
    s = np.array([onto[k] for k in keys])
    w = np.array([weights.get(k, 0.0) for k in keys])
    w = w / w.sum()
    pm, sm = w @ p, w @ s
    pc, sc = p - pm, s - sm
    m = (pc * w[:, None]).T @ sc
    (xx, xy, xz), (yx, yy, yz), (zx, zy, zz) = m
    n = np.array([
        [xx + yy + zz, yz - zy, zx - xz, xy - yx],
        [yz - zy, xx - yy - zz, xy + yx, zx + xz],
        [zx - xz, xy + yx, -xx + yy - zz, yz + zy],
        [xy - yx, zx + xz, yz + zy, -xx - yy + zz],
    ])  # fmt: skip
    q0, q1, q2, q3 = np.linalg.eigh(n)[1][:, -1]
    turn = np.array([
        [q0*q0+q1*q1-q2*q2-q3*q3, 2*(q1*q2-q0*q3), 2*(q1*q3+q0*q2)],
        [2*(q1*q2+q0*q3), q0*q0-q1*q1+q2*q2-q3*q3, 2*(q2*q3-q0*q1)],
        [2*(q1*q3-q0*q2), 2*(q2*q3+q0*q1), q0*q0-q1*q1-q2*q2+q3*q3],
    ])  # fmt: skip
    turned = pc @ turn.T
    scale = (w[:, None] * sc * turned).sum() / (w[:, None] * turned**2).sum()
    return dict(zip(keys, scale * turned + sm, strict=True))


def true_correction(scene_, gauge):
    """What must be added to each landmark of the sculpt, under the weights of an answer."""
    moved = laid(scene_.person, scene_.sculpt, gauge)
    return {key: moved[key] - scene_.sculpt[key] for key in moved}
