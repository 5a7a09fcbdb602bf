"""The files of stills are opened: what is missing or no picture is told, and stops nothing else.

Truth: pictures made by Pillow's writers and by OpenCV's; sizes after the turn by OpenCV, which
reads EXIF data with code of its own.
"""

import os
import shutil
import struct
import zlib
from hashlib import sha256

import cv2
import numpy as np
import pytest
from PIL import Image

from sixwright.line.likeness import Still
from sixwright.storage import pictures
from sixwright.storage.folder import read
from sixwright.storage.pictures import pictures_of
from storage.small_line import small_line

WIDE, HIGH = 120, 80
RNG = np.random.Generator(np.random.Philox(5))
SCENE = RNG.integers(0, 255, (HIGH, WIDE, 3), dtype=np.uint8)


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


def opened(folder, name):
    return pictures_of(folder, [Still("s", file=name)])[name]


def laid(folder, name, **how):
    """A picture of WIDE by HIGH pixels, as its ending says."""
    Image.fromarray(SCENE).save(folder / name, **how)
    return folder / name


def turned(value):
    exif = Image.Exif()
    exif[0x0112] = value
    return exif


@pytest.mark.parametrize("ending", ["jpg", "jpeg", "png", "webp", "tif", "tiff"])
def test_a_picture_is_opened_and_measured(line, ending):
    path = laid(line, f"quay.{ending}")
    found = opened(line, path.name)
    assert (found.width_px, found.height_px, found.fault) == (WIDE, HIGH, "")
    assert found.sha256 == sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif"])
def test_what_another_writer_wrote_is_opened(line, ending):
    assert cv2.imwrite(str(line / f"quay.{ending}"), SCENE)
    found = opened(line, f"quay.{ending}")
    assert (found.width_px, found.height_px, found.fault) == (WIDE, HIGH, "")


@pytest.mark.parametrize("value", range(1, 9))
def test_a_picture_is_measured_upright(line, value):
    path = laid(line, "quay.jpg", exif=turned(value))
    high, wide = cv2.imread(str(path), cv2.IMREAD_COLOR).shape[:2]
    found = opened(line, path.name)
    assert (found.width_px, found.height_px) == (wide, high)
    assert found.is_turned == (wide < high)


def test_odd_exif_data_are_none(line):
    path = laid(line, "quay.jpg", exif=b"Exif\0\0MM\0*\xff\xff\xff\xff")
    assert opened(line, path.name).width_px == WIDE


FAULTS = {
    "there is no file": lambda path: path.unlink(missing_ok=True),
    "it is an empty file": lambda path: path.write_bytes(b""),
    "it is no JPEG, PNG, WebP or TIFF": lambda path: path.write_text("a picture of a quay"),
    "it is a folder, not a file": lambda path: path.mkdir(),
    "it is a pipe, not a file": os.mkfifo,
    "it is a link that leads outside": lambda path: path.symlink_to("/etc/passwd"),
    "it is more than 256 MB": lambda path: (path.touch(), os.truncate(path, 2**28 + 1)),
}


@pytest.mark.parametrize("why", FAULTS)
def test_what_is_no_picture_says_why(line, why):
    FAULTS[why](line / "quay.jpg")
    found = opened(line, "quay.jpg")
    assert found.fault.startswith(why)
    assert found.width_px is None
    assert found.is_there == (why != "there is no file")


@pytest.mark.parametrize("name", ["../quay.jpg", "/etc/passwd", "C:/quay.jpg", "stills\\quay.jpg"])
def test_a_name_that_leads_elsewhere_is_not_followed(line, name):
    laid(line.parent, "quay.jpg")
    found = opened(line, name)
    assert found.sha256 == ""
    assert found.fault


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif"])
@pytest.mark.parametrize("share", [0.3, 0.9])
def test_a_picture_that_was_cut_short_is_none(line, ending, share):
    path = laid(line, f"quay.{ending}")
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * share)])
    found = opened(line, path.name)
    assert "broken, or was cut short" in found.fault or found.fault.startswith("it is no JPEG")
    assert found.width_px is None


def png_of(wide, high):
    """A PNG of that size whose pixels are a few bytes of zeros, packed."""

    def chunk(kind, data):
        whole = kind + data
        return struct.pack(">I", len(data)) + whole + struct.pack(">I", zlib.crc32(whole))

    header = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    body = zlib.compress(bytes(1000))
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", body) + chunk(b"IEND", b"")
    )


def test_a_picture_of_very_many_pixels_is_not_decoded(line):
    (line / "quay.png").write_bytes(png_of(10_001, 10_000))
    found = opened(line, "quay.png")
    assert found.fault == "it has more than 100000000 pixels, the most that is opened"


def test_beyond_the_limits_of_all_files_together_no_more_is_opened(line, monkeypatch):
    stills = [Still(f"s{at}", file=laid(line, f"s{at}.png").name) for at in range(4)]
    monkeypatch.setattr(pictures, "MOST_PIXELS_IN_ALL", WIDE * HIGH * 2 - 1)
    faults = [one.fault[:9] for one in pictures_of(line, stills).values()]
    assert faults == ["", "", "the files", "the files"]
    monkeypatch.undo()
    monkeypatch.setattr(pictures, "MOST_IN_ALL", 1)
    assert all(one.fault for one in pictures_of(line, stills).values())


def test_a_picture_is_decoded_once_and_again_when_it_changes(line, monkeypatch):
    path = laid(line, "quay.png")
    os.utime(path, (1_700_000_000, 1_700_000_000))
    looks = []
    real = pictures.looked_at
    monkeypatch.setattr(
        pictures, "looked_at", lambda content, sha: looks.append(sha) or real(content, sha)
    )
    Image.fromarray(SCENE[:, ::-1]).save(path)  # its bytes are met in no other test
    for _ in range(3):
        assert opened(line, "quay.png").width_px == WIDE
    assert len(looks) == 1
    Image.fromarray(SCENE[:, :50]).save(path)
    assert opened(line, "quay.png").width_px == 50
    shutil.copy(path, line / "copy.png")
    opened(line, "copy.png")
    assert len(looks) == 2


def test_a_folder_with_stills_that_are_not_there_is_read(line):
    laid(line, "quay.png")
    (line / "stills.csv").write_text(
        "id,file,width_px,height_px\na,quay.png,120,80\nb,gate.png,120,80\nc,,120,80\n"
    )
    found = read(line).project.pictures
    assert {name: one.is_there for name, one in found.items()} == {
        "quay.png": True,
        "gate.png": False,
    }
