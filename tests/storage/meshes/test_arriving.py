"""A mesh file is seen before it is welded, and what is seen agrees with what is read later."""

from hashlib import sha256

import numpy as np
import pytest

from line.heads import plain_head
from numerics.mesh.shapes import mesh, torus
from sixwright.kernel.errors import MeshError
from sixwright.line.head_shape import frame_of
from sixwright.line.meshes import MeshRef, Odd
from sixwright.storage.meshes.arriving import Intake, checked, first_sight, looked
from sixwright.storage.meshes.previews import kept_preview, packed, unpacked
from storage.meshes.made import ply, stl


@pytest.fixture(autouse=True)
def _cache(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))


def seen(tmp_path, content, name="head.stl"):
    file = tmp_path / "file"
    file.write_bytes(content)
    return file, first_sight(file, name, tmp_path / "look.bin")


def test_a_head_on_its_back_in_inches_is_read_upright_and_in_millimetres(tmp_path):
    head = plain_head()
    laid = (head.vertices @ frame_of("+z", "-y")) / 25.4
    _, sight = seen(tmp_path, stl(mesh(laid, head.faces, np.float32)))
    reading = sight.reading(MeshRef("head.stl"))
    assert (reading.unit.value, reading.up.value, reading.front.value) == ("in", "+z", "-y")
    look = looked(tmp_path / "look.bin", reading)
    for end in (np.min, np.max):
        assert end(look.vertices, axis=0) == pytest.approx(end(head.vertices, axis=0), abs=0.5)


def test_all_of_it_is_checked_and_its_preview_kept(tmp_path):
    made = torus(30, 10, 60, 40, dtype=np.float32)
    content = stl(mesh(made.vertices, made.faces[:-50], np.float32))
    file, sight = seen(tmp_path, content)
    digest = sha256(content).hexdigest()
    told = checked(file, "head.stl", digest)
    ref = MeshRef("head.stl", digest, "mm", "+y", "+z")
    assert {each.kind for each in told.oddities(ref, digest, sight)} >= {Odd.OPEN}
    assert len(kept_preview(digest).faces) == len(made.faces) - 50


@pytest.mark.parametrize(
    ("content", "name", "found"),
    [
        (b"Six heads, please.", "head.stl", "other text"),
        (b"", "head.obj", "an empty file"),
        (ply(torus(3, 1, 24, 18))[:900], "head.ply", "found room for"),
    ],
)
def test_what_is_no_mesh_is_refused_in_one_sentence(tmp_path, content, name, found):
    with pytest.raises(MeshError, match=found):
        seen(tmp_path, content, name)


def test_a_browser_gets_the_very_places_and_corners():
    made = torus(3, 1, 24, 18, dtype=np.float32)
    again = unpacked(packed(made))
    assert (again.vertices == made.vertices).all()
    assert (again.faces == made.faces).all()
    assert unpacked(packed(made)[:-1]) is None
    assert unpacked(b"") is None


def test_what_comes_in_pieces_is_whole_on_the_disk(tmp_path):
    pieces = [bytes([i % 251]) * 70_000 for i in range(100)]
    intake = Intake(tmp_path / "file")
    for piece in pieces:
        if intake.add(piece):
            intake.write()
    assert intake.whole() == sha256(b"".join(pieces)).hexdigest()
    assert (tmp_path / "file").read_bytes() == b"".join(pieces)
