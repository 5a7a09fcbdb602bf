"""A mesh comes into the folder as a round: copied whole, over nothing, or not at all."""

import csv
import errno
from datetime import date
from hashlib import sha256

import pytest

from numerics.mesh.shapes import torus
from sixwright.kernel.errors import DiskError, InputError
from sixwright.kernel.sentences import Sentence
from sixwright.line.mesh_guess import axis_named
from sixwright.line.meshes import MeshConvention, MeshReading, ReadingBasis
from sixwright.storage.bring_mesh import BroughtMesh, MeshDestination
from sixwright.storage.edits.write import write
from sixwright.storage.files.disk import RealDisk
from sixwright.storage.folder import read
from storage.meshes.made import stl
from storage.small_line import CountingClock, bytes_of, small_line

TODAY = date(2026, 9, 14)
CONTENT = stl(torus(3, 1, 24, 18))
SAID = Sentence("the row says so")
READING = MeshReading(
    MeshConvention("cm", ReadingBasis.STATED, SAID),
    MeshConvention("+z", ReadingBasis.STATED, SAID),
    MeshConvention("-y", ReadingBasis.STATED, SAID),
)


@pytest.fixture
def line(tmp_path):
    made = small_line(tmp_path / "line")
    (made / "sculpts.csv").write_text("id,part,person,expression,tolerance_mm\ncalm,,mara,,0.2\n")
    (made / "rounds.csv").write_text(
        "id,sculpt,number,date,mesh,sha256,unit,up,front,maker,remark\n"
        "calm-1,calm,1,2026-08-03,,,,,,SC,first\n"
    )
    return made


@pytest.fixture
def came(tmp_path):
    file = tmp_path / "file"
    file.write_bytes(CONTENT)
    return BroughtMesh("Calm Head.stl", file, sha256(CONTENT).hexdigest(), ".stl")


def rows(line, table):
    with (line / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def keep(line, came, wanted):
    folder = read(line)
    changes = came.laid_in(folder, READING, wanted, TODAY)
    write(folder, changes, who="Ines", clock=CountingClock())


def test_it_is_the_file_of_a_round_that_waits_for_one(line, came):
    keep(line, came, MeshDestination(round="calm-1"))
    (row,) = rows(line, "rounds")
    told = read(line).project.rounds["calm-1"]
    assert (told.mesh, told.unit) == ("heads/calm-head.stl", "cm")
    assert (axis_named(told.up, "up"), axis_named(told.front, "front")) == ("+z", "-y")
    assert not told.front.startswith(("+", "-"))  # a spreadsheet would run it
    assert (row["date"], row["remark"], row["sha256"]) == ("2026-08-03", "first", came.sha256)
    assert (line / row["mesh"]).read_bytes() == CONTENT


def test_it_is_the_next_round_of_a_head(line, came):
    keep(line, came, MeshDestination("calm"))
    (_, row) = rows(line, "rounds")
    assert (row["id"], row["number"], row["date"]) == ("calm-2", "2", "2026-09-14")


def test_it_is_a_head_of_its_own(line, came):
    keep(line, came, MeshDestination(person="mara"))
    assert (rows(line, "sculpts")[1]["id"], rows(line, "sculpts")[1]["person"]) == (
        "calm-head", "mara",
    )  # fmt: skip
    assert rows(line, "rounds")[1]["id"] == "calm-head-1"


@pytest.mark.parametrize(("named", "shown"), [("", ["mara", "mara"]), ("ines", ["ines", ""])])
def test_the_first_person_of_a_line_is_whom_its_stills_show(line, came, named, shown):
    (line / "sculpts.csv").unlink()
    (line / "rounds.csv").unlink()
    (line / "stills.csv").write_text(f"id,file,person\na,,{named}\nb,,\n")
    keep(line, came, MeshDestination(person="mara"))
    assert [row["person"] for row in rows(line, "stills")] == shown


def test_the_same_file_twice_is_refused_and_leaves_nothing(line, came, tmp_path):
    keep(line, came, MeshDestination("calm"))
    before = bytes_of(line)
    again = BroughtMesh("other.stl", tmp_path / "file", came.sha256, ".stl")
    with pytest.raises(InputError, match=r"other.stl is round 2 of calm already"):
        again.laid_in(read(line), READING, MeshDestination(), TODAY)
    assert bytes_of(line) == before


def test_it_goes_over_no_other_file(line, came):
    (line / "heads").mkdir()
    (line / "heads/calm-head.stl").write_bytes(b"another")
    keep(line, came, MeshDestination("calm"))
    assert (line / "heads/calm-head.stl").read_bytes() == b"another"
    assert rows(line, "rounds")[1]["mesh"] == "heads/calm-head-2.stl"


def test_the_copy_of_an_edit_that_was_taken_back_is_used_again(line, came):
    (line / "heads").mkdir()
    (line / "heads/calm-head.stl").write_bytes(CONTENT)
    keep(line, came, MeshDestination("calm"))
    assert rows(line, "rounds")[1]["mesh"] == "heads/calm-head.stl"
    assert [file.name for file in (line / "heads").iterdir()] == ["calm-head.stl"]


def test_a_full_disk_leaves_no_piece_of_it(line, came):
    class Full(RealDisk):
        def append(self, *_):
            raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(DiskError, match="The disk is full"):
        came.laid_in(read(line), READING, MeshDestination("calm"), TODAY, Full())
    assert list((line / "heads").iterdir()) == []
    assert len(rows(line, "rounds")) == 1


def test_a_round_or_a_head_that_is_gone_is_told(line, came):
    with pytest.raises(InputError, match="no sculpt “grim” any more"):
        came.laid_in(read(line), READING, MeshDestination("grim"), TODAY)
    with pytest.raises(InputError, match="“calm-9” waits for no file any more"):
        came.laid_in(read(line), READING, MeshDestination(round="calm-9"), TODAY)
    assert not (line / "heads").exists()


def test_what_another_window_made_a_row_of_stays(line, came, tmp_path):
    came.laid_in(read(line), READING, MeshDestination("calm"), TODAY)
    keep(
        line,
        BroughtMesh("Calm Head.stl", tmp_path / "file", came.sha256, ".stl"),
        MeshDestination("calm"),
    )
    came.take_away(line)
    assert (line / "heads/calm-head.stl").read_bytes() == CONTENT


def test_what_was_taken_away_meanwhile_is_laid_once_more(line, came):
    keep(line, came, MeshDestination("calm"))
    (line / "heads/calm-head.stl").unlink()
    came.stays(line)
    assert (line / "heads/calm-head.stl").read_bytes() == CONTENT


def test_what_no_row_came_of_is_taken_away(line, came):
    came.laid_in(read(line), READING, MeshDestination("calm"), TODAY)
    came.take_away(line)
    assert list((line / "heads").iterdir()) == []
