"""From a row's reference to a mesh in the sculpt frame; a second time without the file."""

import os
from pathlib import Path

import numpy as np
import pytest

from line.heads import plain_head
from numerics.mesh.shapes import mesh
from sixwright.kernel.errors import InputError, MeshError
from sixwright.kernel.protocols import no_memo
from sixwright.line.mesh_guess import HEAD, Meant
from sixwright.line.meshes import MeshRef, Odd, ReadingBasis
from sixwright.storage.cache import memo
from sixwright.storage.meshes import kept, load, raw
from sixwright.storage.meshes.load import MeshLoader
from storage.meshes import made

SCULPT = plain_head()


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    line = tmp_path / "line"
    line.mkdir()
    (line / "head.stl").write_bytes(made.stl(SCULPT))
    return line


PLAIN = Meant("a mesh")  # of no known shape, which takes half a second to find out


def loaded(folder, ref, remember=no_memo, meant=PLAIN):
    return MeshLoader(folder, remember, meant)(ref)


def aged(path: Path) -> None:
    """As a file that was written an hour ago."""
    os.utime(path, (path.stat().st_atime - 3600, path.stat().st_mtime - 3600))


def read_again(monkeypatch, folder, ref):
    """Whether the file's triangles are read and welded."""
    seen = []
    real = load.read
    monkeypatch.setattr(load, "read", lambda *a: seen.append("read") or real(*a))
    opened = load.read_within
    monkeypatch.setattr(
        load, "read_within", lambda *a, **k: seen.append("opened") or opened(*a, **k)
    )
    told = loaded(folder, ref)
    monkeypatch.setattr(load, "read", real)
    monkeypatch.setattr(load, "read_within", opened)
    return told, seen


def test_a_head_arrives_in_the_sculpt_frame(folder):
    told = loaded(folder, MeshRef("head.stl"), meant=HEAD)
    assert (told.reading.unit.value, told.reading.up.value, told.reading.front.value) == (
        "mm", "+y", "+z",
    )  # fmt: skip
    assert told.reading.unit.how is ReadingBasis.GUESSED
    assert np.array_equal(told.mesh.vertices[told.mesh.faces], SCULPT.vertices[SCULPT.faces])
    assert told.oddities == ()


@pytest.mark.parametrize(
    ("unit", "factor"), [("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4), ("um", 0.001)]
)
def test_a_stated_unit_is_converted_and_nothing_is_rescaled(folder, unit, factor):
    told = loaded(folder, MeshRef("head.stl", unit=unit), meant=HEAD)
    wanted = SCULPT.vertices[SCULPT.faces].astype(np.float64) * factor
    assert told.mesh.vertices[told.mesh.faces] == pytest.approx(wanted)
    assert told.reading.unit.how is ReadingBasis.STATED
    assert [oddity.kind for oddity in told.oddities] == ([] if factor == 1 else [Odd.SIZE])


def test_axes_turn_it_and_never_mirror_it(folder):
    """A file with z up that looks along -y: its x stays, its z is our y, its -y our z."""
    x, y, z = SCULPT.vertices.T
    lying = mesh(np.stack([x, -z, y], axis=1), SCULPT.faces, np.float32)
    (folder / "lying.stl").write_bytes(made.stl(lying))
    for ref in (MeshRef("lying.stl", up="z", front="-y"), MeshRef("lying.stl")):
        told = loaded(folder, ref, meant=HEAD)
        assert np.array_equal(told.mesh.vertices[told.mesh.faces], SCULPT.vertices[SCULPT.faces])
        assert told.oddities == ()


def test_a_checksum_that_is_another_is_told(folder):
    told = loaded(folder, MeshRef("head.stl", sha256="ab" * 32))
    assert [oddity.kind for oddity in told.oddities] == [Odd.CHANGED]
    assert loaded(folder, MeshRef("head.stl", sha256=told.sha256.upper())).oddities == ()


def test_the_second_time_the_file_is_not_opened(folder, monkeypatch):
    aged(folder / "head.stl")
    first, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == ["opened", "read"]
    again, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == []
    assert np.array_equal(again.mesh.vertices, first.mesh.vertices)
    assert np.array_equal(again.mesh.faces, first.mesh.faces)
    assert (again.reading, again.oddities, again.sha256) == (
        first.reading, first.oddities, first.sha256,
    )  # fmt: skip


def test_what_was_counted_is_remembered(folder, monkeypatch):
    first = loaded(folder, MeshRef("head.stl"), memo, HEAD)
    monkeypatch.setattr(load, "survey", lambda _: pytest.fail("counted again"))
    monkeypatch.setattr(load, "head_fits", lambda _: pytest.fail("fitted again"))
    assert loaded(folder, MeshRef("head.stl"), memo, HEAD).reading == first.reading


def test_the_same_content_under_another_name_is_not_read_again(folder, monkeypatch):
    loaded(folder, MeshRef("head.stl"))
    (folder / "copy.stl").write_bytes((folder / "head.stl").read_bytes())
    _, seen = read_again(monkeypatch, folder, MeshRef("copy.stl"))
    assert seen == ["opened"]


def test_a_file_that_changed_is_read_again(folder, monkeypatch):
    path = folder / "head.stl"
    aged(path)
    loaded(folder, MeshRef("head.stl"))
    stat = path.stat()
    content = bytearray(path.read_bytes())
    content[84 + 12 : 84 + 16] = np.float32(0.125).tobytes()
    path.write_bytes(content)
    os.utime(path, (stat.st_atime, stat.st_mtime))  # same size and time: only ctime tells
    told, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == ["opened", "read"]
    assert 0.125 in told.mesh.vertices


def test_a_file_written_just_now_is_looked_at_again(folder, monkeypatch):
    loaded(folder, MeshRef("head.stl"))
    _, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == ["opened"]


@pytest.mark.parametrize("part", ["vertices.npy", "faces.npy", "facts.json"])
@pytest.mark.parametrize("content", [b"", b"{}", b"\x93NUMPY\x01\0", b"null", None])
def test_a_broken_entry_is_a_miss(folder, monkeypatch, part, content):
    first = loaded(folder, MeshRef("head.stl"))
    (entry,) = kept._folder().glob("*-*")
    if content is None:
        (entry / part).unlink()
    else:
        (entry / part).write_bytes(content)
    again, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == ["opened", "read"]
    assert np.array_equal(again.mesh.vertices, first.mesh.vertices)
    _, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == ["opened"]


def test_a_pickle_in_the_cache_is_never_opened(folder, monkeypatch):
    loaded(folder, MeshRef("head.stl"))
    (entry,) = kept._folder().glob("*-*")
    np.save(entry / "faces.npy", np.array([print], object), allow_pickle=True)
    _, seen = read_again(monkeypatch, folder, MeshRef("head.stl"))
    assert seen == ["opened", "read"]


def test_a_cache_that_cannot_be_written_costs_no_answer(folder, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("a file where the folder would be")
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "file"))
    assert len(loaded(folder, MeshRef("head.stl")).mesh.faces) == len(SCULPT.faces)


def test_the_oldest_go_when_all_are_too_large(folder, monkeypatch):
    loaded(folder, MeshRef("head.stl"))
    (entry,) = kept._folder().glob("*-*")
    os.utime(entry, (1, 1))
    size = sum(file.stat().st_size for file in entry.iterdir())
    monkeypatch.setattr(kept, "MOST_BYTES", size + size // 2)
    (folder / "other.stl").write_bytes(made.stl(mesh(SCULPT.vertices * 2, SCULPT.faces)))
    loaded(folder, MeshRef("other.stl"))
    assert not entry.exists()
    assert len(list(kept._folder().glob("*-*"))) == 1
    assert not list(kept._folder().glob("*.part"))


def test_folders_of_somebody_elses_stay_whatever_room_is_wanted(folder, monkeypatch):
    own = kept._folder() / "head-v1-delivered"
    own.mkdir(parents=True)
    (own / "head.stl").write_bytes(made.stl(SCULPT))
    os.utime(own, (1, 1))
    monkeypatch.setattr(kept, "MOST_BYTES", 1)
    loaded(folder, MeshRef("head.stl"))
    assert (own / "head.stl").read_bytes() == made.stl(SCULPT)


REFUSED = {
    "no file": ("gone.stl", "gone.stl: expected a file of this name, found none; look whether"),
    "a folder": ("inner.stl", "inner.stl: expected a plain file within the folder, found a folder"),
    "outside": ("../head.stl", "found a path that leads outside the folder"),
    "absolute": ("/etc/hosts", "found a path that leads outside the folder"),
    "a link out": ("link.stl", "found a link that leads outside the folder"),
    "a pipe": ("pipe.stl", "found a pipe, not a file"),
    "empty": ("empty.stl", "empty.stl: expected a mesh, found an empty file"),
    "a damaged one": ("cut.stl", "cut.stl: expected"),
    "nothing but a point": ("point.stl", "found 1 whose corners fall on one place or two"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_used_is_refused_with_its_file_and_the_folder_untouched(folder, case):
    (folder / "inner.stl").mkdir()
    (folder.parent / "head.stl").write_bytes(made.stl(SCULPT))
    (folder / "link.stl").symlink_to(folder.parent / "head.stl")
    os.mkfifo(folder / "pipe.stl")
    (folder / "empty.stl").write_bytes(b"")
    (folder / "cut.stl").write_bytes(made.stl(SCULPT)[:-70])
    (folder / "point.stl").write_bytes(made.stl(mesh(np.ones((3, 3)), [[0, 1, 2]])))
    before = {p.name: p.lstat().st_mtime_ns for p in folder.iterdir()}
    name, said = REFUSED[case]
    with pytest.raises(MeshError) as caught:
        loaded(folder, MeshRef(name))
    assert said in str(caught.value)
    assert caught.value.problem.file == name
    assert {p.name: p.lstat().st_mtime_ns for p in folder.iterdir()} == before


def test_two_gigabytes_are_refused_without_being_read(folder, monkeypatch):
    """A file with a hole: it takes no room on the disk."""
    with (folder / "large.stl").open("wb") as file:
        file.truncate(2_100_000_000)
    monkeypatch.setattr(load, "read_within", lambda *_a, **_k: pytest.fail("it was read"))
    with pytest.raises(MeshError) as caught:
        loaded(folder, MeshRef("large.stl"))
    assert str(caught.value) == (
        "large.stl: expected at most 1.5 GB, found 2.1 GB; ask for a binary export, or a decimated "
        "one; five million triangles are 0.25 GB."
    )
    assert raw.MOST_BYTES == 1_500_000_000


@pytest.mark.parametrize(
    ("ref", "said"),
    [
        (
            MeshRef("head.stl", unit="furlong"),
            "unit must be one of mm, cm, m, in, ft, um; received",
        ),
        (MeshRef("head.stl", up="north"), "up must be one of +x, -x, +y, -y, +z, -z; received"),
        (MeshRef("head.stl", up="y", front="-y"), "front must lie across up (+y); received '-y'."),
    ],
)
def test_a_row_that_says_what_cannot_be_is_refused(folder, ref, said):
    with pytest.raises(InputError) as caught:
        loaded(folder, ref)
    assert str(caught.value).startswith(said)
