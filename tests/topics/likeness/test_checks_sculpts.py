"""What is said of a round's file: missing, broken, of another size, off its landmarks."""

import re
from dataclasses import replace

import numpy as np
import pytest

from line.heads import plain_head
from numerics.mesh.shapes import mesh
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.topic import Tools
from sixwright.line.files import FileMark
from sixwright.line.likeness import Placement
from sixwright.reports.wording.words import say
from sixwright.storage.cache import memo
from sixwright.storage.meshes.load import MeshLoader
from sixwright.topics.likeness import checks_sculpts, sculpt_files
from sixwright.topics.likeness.model import Answer, RoundAnswer
from storage.meshes import made
from topics.likeness.test_checks import exact

HEAD = plain_head()
ON_IT = HEAD.vertices[:: len(HEAD.vertices) // 12].astype(float)
STATED = {"unit": "mm", "up": "+y", "front": "+z"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    line = tmp_path_factory.mktemp("line")
    (line / "head.stl").write_bytes(made.stl(HEAD))
    (line / "cut.stl").write_bytes(made.stl(HEAD)[:-60])
    (line / "ring.stl").write_bytes(
        made.stl(mesh(made.TORUS.vertices * 6, made.TORUS.faces, np.float32))
    )
    return line


@pytest.fixture(autouse=True)
def cache(tmp_path_factory, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path_factory.getbasetemp() / "cache"))


def said_of(folder, file, *, places=ON_IT, there=True, **row):
    """Findings on one round by rule, and its file as it was read."""
    inputs = exact()
    one = replace(inputs.rounds["r1"], mesh=file, **(STATED | row))
    inputs = replace(
        inputs,
        rounds={"r1": one},
        placements=tuple(
            Placement("r1", f"l{i}", "mid", tuple(place), 0.05) for i, place in enumerate(places)
        ),
        meshes={file: FileMark(1, 1)} if there else {},
    )
    files = sculpt_files.sculpt_files(inputs, Tools(memo, load=MeshLoader(folder, memo)))
    answer = Answer((RoundAnswer("r1", "head", 1, "who", "neutral", latest=True),), files)
    found = checks_sculpts.findings(inputs, answer)
    return {finding.rule: finding for finding in found}, files[0]


def words(finding):
    return say(finding.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ")


def test_a_head_as_its_row_says_holds_and_its_reading_is_said(folder):
    found, file = said_of(folder, "head.stl")
    assert found["mesh"].verdict is Verdict.HOLDS
    assert words(found["mesh"]) == (
        f"head, round 1 has {len(HEAD.faces):,} triangles, read in millimetres (stated), +y up "
        "(stated), +z to the front (stated)."
    )
    assert file.size_mm == pytest.approx(np.ptp(HEAD.vertices, axis=0))


def test_what_was_guessed_is_said_to_be_guessed(folder):
    found, _ = said_of(folder, "head.stl", unit=None, up=None, front=None)
    assert found["mesh"].verdict is Verdict.HOLDS
    assert "read in millimetres (guessed), +y up (guessed), +z to the front (guessed)" in words(
        found["mesh"]
    )


def test_what_was_assumed_is_doubtful_and_one_edit_states_it(folder):
    found, _ = said_of(folder, "ring.stl", unit="mm", up=None, front=None)
    assert found["mesh"].doubt is checks_sculpts.MeshDoubt.ASSUMED
    assert found["mesh"].verdict is Verdict.DOUBTFUL
    assert found["mesh"].fix.cells == (("up", "+y"), ("front", "+z"))


def test_a_file_that_is_not_there_leaves_it_unchecked(folder):
    found, _ = said_of(folder, "heads/gone.stl", there=False)
    assert found["mesh"].verdict is Verdict.UNCHECKED
    assert found["mesh"].missing == ("rounds/r1/mesh",)
    assert words(found["mesh"]) == (
        "The file of head, round 1, heads/gone.stl, is not in the folder."
    )
    assert set(found) == {"mesh"}


def test_a_broken_file_fails_with_its_refusal(folder):
    found, _ = said_of(folder, "cut.stl")
    assert found["mesh"].verdict is Verdict.FAILS
    assert words(found["mesh"]).startswith("head, round 1 cannot be read: cut.stl: expected ")
    assert "it was probably cut off while it was copied" in words(found["mesh"])


def test_a_row_that_says_no_unit_is_told_so(folder):
    found, _ = said_of(folder, "head.stl", unit="furlong")
    assert found["mesh"].verdict is Verdict.FAILS
    assert "unit must be one of mm, cm, m, in, ft, um; received 'furlong'." in words(found["mesh"])


@pytest.mark.parametrize(("unit", "times"), [("in", 25.4), ("cm", 10)])
def test_a_head_of_another_size_fails(folder, unit, times):
    found, _ = said_of(folder, "head.stl", unit=unit)
    assert found["mesh"].verdict is Verdict.FAILS
    told = re.search(r"it is about ([\d.]+) times as large", words(found["mesh"]))
    assert float(told[1]) == pytest.approx(times, rel=0.1)  # the shape tells the size to a tenth
    assert words(found["mesh"]).startswith("head, round 1: read in ")


def test_another_file_than_the_one_recorded_is_doubtful(folder):
    found, _ = said_of(folder, "head.stl", sha256="0" * 64)
    assert found["mesh"].verdict is Verdict.DOUBTFUL
    assert "the file is not the one that was recorded" in words(found["mesh"])


def test_landmarks_on_the_mesh_hold(folder):
    found, _ = said_of(folder, "head.stl")
    assert found["surface"].verdict is Verdict.HOLDS
    assert (
        words(found["surface"]) == f"All {len(ON_IT)} landmarks of head, round 1 lie on its mesh."
    )


def test_a_landmark_off_the_mesh_by_more_than_its_spread_is_named(folder):
    places = ON_IT.copy()
    away = places[3] - HEAD.vertices.mean(axis=0)
    places[3] += 0.4 * away / np.linalg.norm(away)
    found, file = said_of(folder, "head.stl", places=places)
    assert found["surface"].verdict is Verdict.FAILS
    assert found["surface"].measured.value == 1
    assert "1 lie off its mesh" in words(found["surface"])
    assert words(found["surface"]).endswith("mm: l3.")
    assert file.marks[3].outward is not None  # near enough for its direction


def test_landmarks_within_their_spread_are_not_named(folder):
    spread = 0.05
    away = ON_IT - HEAD.vertices.mean(axis=0)
    near = ON_IT + 2 * spread * away / np.linalg.norm(away, axis=1)[:, None]
    assert said_of(folder, "head.stl", places=near)[0]["surface"].verdict is Verdict.HOLDS


def test_landmarks_of_another_export_are_told_as_such(folder):
    found, file = said_of(folder, "head.stl", places=ON_IT + np.array([0, 100, 0]))
    assert found["surface"].verdict is Verdict.FAILS
    assert "they belong to another file" in words(found["surface"])
    assert not any(mark.outward for mark in file.marks)


def test_the_second_time_the_surface_is_remembered_by_content(folder, monkeypatch):
    said_of(folder, "head.stl")
    monkeypatch.setattr(sculpt_files, "surface_of", None)
    assert said_of(folder, "head.stl")[0]["surface"].verdict is Verdict.HOLDS


def test_a_mesh_that_cannot_be_brought_in_at_all_is_no_finding():
    inputs = exact()
    assert sculpt_files.sculpt_files(inputs, Tools()) == ()
    with pytest.raises(KeyError):
        sculpt_files.ref_of(inputs.rounds["r1"])
