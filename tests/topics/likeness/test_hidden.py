"""What a head hides from a still's camera, against the formula of an ellipsoid."""

from dataclasses import replace

import numpy as np
import pytest

from numerics.mesh.shapes import joined, mesh, sphere
from sixwright.kernel.intervals import Verdict
from sixwright.line.likeness import Sighting, Still, Term
from sixwright.numerics.mesh.rays import RayTree
from sixwright.numerics.rotations import facing
from sixwright.reports.wording.words import say
from sixwright.topics.likeness import checks_hidden
from sixwright.topics.likeness.model import Answer, LandmarkAnswer, RoundAnswer, StillAnswer
from sixwright.topics.likeness.rounds.hidden import BEFORE_MM, LIFT_MM, hidden_in
from sixwright.topics.likeness.sculpts import SurfaceMark
from sixwright.topics.likeness.solids import Solid
from topics.likeness.test_checks import exact
from topics.likeness.test_surface import AXES, EGG, NORMALS, PLACES

EYES = {f"s{yaw}": 330.0 * -facing(np.radians(yaw), 0.2)[2] for yaw in (-80, -30, 0, 45, 100)}
KEYS = [(f"l{i}", "mid") for i in range(len(PLACES))]


def posed(id_, eye, **more):
    z = -eye / np.linalg.norm(eye)
    x = np.cross(z, [0, 1.0, 0])
    x /= np.linalg.norm(x)
    turn = np.stack([x, np.cross(z, x), z])
    return StillAnswer(id_, used=True, rotation=tuple(map(tuple, turn)),
                       t_mm=tuple(-turn @ eye), **more)  # fmt: skip


def asked(expression="neutral", rigid=(), state="seen"):
    """Every landmark marked in every still, and a round whose mesh they lie on."""
    rows = tuple(Sighting(still, *key, (5.0, 5.0), 1.5, None, state)
                 for still in EYES for key in KEYS)  # fmt: skip
    inputs = replace(
        exact(),
        sightings=rows,
        stills={id_: Still(id_, expression=expression) for id_ in EYES},
        terms={name: Term(name, name, rigid=True, contour=False) for name in rigid},
        surfaces={"r1": tuple(SurfaceMark(*key, 0.0, tuple(normal))
                              for key, normal in zip(KEYS, NORMALS, strict=True))},
    )  # fmt: skip
    marks = tuple(LandmarkAnswer(*key, key[0], 2, 0.25, Verdict.HOLDS, place_mm=tuple(place))
                  for key, place in zip(KEYS, PLACES, strict=True))  # fmt: skip
    stills = tuple(posed(id_, eye) for id_, eye in EYES.items())
    one = RoundAnswer("r1", "head", 1, "who", "neutral", latest=True, stills=stills,
                      landmarks=marks)  # fmt: skip
    return inputs, one


def before(eye, place, normal):
    """How far before a lifted place the way to the eye leaves the ellipsoid; 0: nowhere."""
    start = (place + LIFT_MM * normal) / AXES
    length = np.linalg.norm(eye - place - LIFT_MM * normal)
    way = (eye - place - LIFT_MM * normal) / length / AXES
    a, b, c = way @ way, start @ way, start @ start - 1
    root = b * b - a * c
    return 0.0 if root <= 0 else max((-b + np.sqrt(root)) / a, 0.0)


def test_what_an_ellipsoid_hides_is_what_the_formula_says():
    inputs, one = asked()
    found = set(hidden_in(inputs, one, Solid(EGG)))
    depth = {(still, key): before(eye, place, normal) for still, eye in EYES.items()
             for key, place, normal in zip(KEYS, PLACES, NORMALS, strict=True)}  # fmt: skip
    sure = {pair for pair, mm in depth.items() if abs(mm - BEFORE_MM) > 0.1}
    assert found & sure == {pair for pair in sure if depth[pair] > BEFORE_MM}
    assert 20 < len(found) < 100


def test_a_nose_before_an_eye_hides_it():
    inputs, one = asked()
    eye = EYES["s0"]
    front = [i for i in range(len(KEYS)) if before(eye, PLACES[i], NORMALS[i]) == 0]
    nose = sphere(1.0, 4).vertices + PLACES[front[0]] + 6 * eye / np.linalg.norm(eye)
    both = joined(mesh(EGG.vertices, EGG.faces), mesh(nose, sphere(1.0, 4).faces))
    new = set(hidden_in(inputs, one, Solid(both))) - set(hidden_in(inputs, one, Solid(EGG)))
    assert ("s0", KEYS[front[0]]) in new


def test_of_another_expression_only_what_is_rigid_is_asked():
    all_of_it = set(hidden_in(*asked(), Solid(EGG)))
    assert hidden_in(*asked(expression="laughing"), Solid(EGG)) == ()
    rigid = {key[0] for _, key in all_of_it if int(key[0][1:]) % 2}
    found = set(hidden_in(*asked(expression="laughing", rigid=rigid), Solid(EGG)))
    assert found == {pair for pair in all_of_it if pair[1][0] in rigid}


@pytest.mark.parametrize("state", ["hidden", "unsure", "proposed"])
def test_what_nobody_saw_there_is_not_asked(state):
    assert hidden_in(*asked(state=state), Solid(EGG)) == ()


def test_a_contour_lies_on_the_edge_and_is_not_asked():
    inputs, one = asked()
    rows = tuple(replace(row, how="contour") for row in inputs.sightings)
    assert hidden_in(replace(inputs, sightings=rows), one, Solid(EGG)) == ()


def test_what_was_left_out_as_wrong_is_not_said_twice():
    inputs, one = asked()
    first = hidden_in(inputs, one, Solid(EGG))[0]
    stills = tuple(replace(s, rejected=(first[1],)) if s.id == first[0] else s for s in one.stills)
    assert first not in hidden_in(inputs, replace(one, stills=stills), Solid(EGG))


def test_the_tree_is_made_once():
    solid = Solid(EGG)
    assert isinstance(solid.tree, RayTree)
    assert solid.tree is solid.tree


def said(hidden):
    inputs, one = asked()
    one = replace(one, hidden=hidden)
    found = checks_hidden.findings(inputs, Answer((one,)))
    return {f.subject.id: f for f in found}


def test_each_still_is_told_what_the_head_hides_in_it():
    found = said((("s0", KEYS[3]), ("s0", KEYS[4])))
    assert set(found) == set(EYES)
    assert found["s0"].verdict is Verdict.DOUBTFUL
    assert found["s45"].verdict is Verdict.HOLDS
    words = [say(found[still].message, "en-GB") for still in ("s0", "s45")]
    assert words == [
        "In s0, 2 landmarks are marked behind the surface of head, round 1: l3 and l4.",
        "head, round 1 hides nothing that is marked in s45.",
    ]


def test_without_a_mesh_nothing_is_said():
    assert said(None) == {}
