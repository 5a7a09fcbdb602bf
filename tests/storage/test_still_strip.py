"""What a camera wrote of place and time goes, and every pixel stays: by Pillow's reader."""

import struct
from io import BytesIO

import pytest
from PIL import Image, ImageOps, TiffImagePlugin
from PIL.ExifTags import GPS, IFD, Base

from sixwright.storage.still_strip import without_place

PLACE = b"Lower Ennith sluice"
NORTH = (52.0, 13.0, 37.5)


def picture(size=(64, 48)):
    return Image.effect_noise(size, 60).convert("RGB")


def taken(form, orientation=6, **more):
    """A picture with all that a phone writes: place, time, maker, turn and free text."""
    exif = Image.Exif()
    exif[Base.Orientation] = orientation
    exif[Base.Make] = PLACE.decode()
    exif[Base.DateTime] = "2026:09:14 09:00:00"
    gps = exif.get_ifd(IFD.GPSInfo)
    gps[GPS.GPSLatitudeRef], gps[GPS.GPSLatitude] = "N", NORTH
    gps[GPS.GPSAreaInformation] = PLACE
    made = BytesIO()
    if form == "TIFF":
        info = TiffImagePlugin.ImageFileDirectory_v2()
        info[Base.Orientation], info[Base.Make] = orientation, PLACE.decode()
        info[IFD.GPSInfo] = dict(gps)
        picture().save(made, form, tiffinfo=info)
    else:
        picture().save(made, form, exif=exif, **more)
    return made.getvalue()


def gps_of(content):
    with Image.open(BytesIO(content)) as image:
        return dict(image.getexif().get_ifd(IFD.GPSInfo))


def upright(content):
    with Image.open(BytesIO(content)) as image:
        turned = ImageOps.exif_transpose(image)
        return turned.mode, turned.size, turned.tobytes()


MORE = {
    "JPEG": {"comment": PLACE, "icc_profile": b"a profile", "progressive": True, "xmp": PLACE},
    "PNG": {}, "WEBP": {"lossless": True, "xmp": PLACE}, "TIFF": {},
}  # fmt: skip


@pytest.mark.parametrize("form", list(MORE))
def test_the_place_goes_and_the_picture_stays(form):
    content = taken(form, **MORE[form])
    assert gps_of(content)[GPS.GPSLatitude] == NORTH
    left = without_place(content, form, 6)
    assert gps_of(left) == {}
    assert upright(left) == upright(content)
    if form == "TIFF":
        assert len(left) == len(content)
        assert left.count(PLACE) == content.count(PLACE) - 1  # its maker's name is no place
    else:
        assert PLACE not in left
        with Image.open(BytesIO(left)) as image:
            assert set(image.getexif()) == {Base.Orientation}
    if form == "JPEG":
        with Image.open(BytesIO(left)) as image:
            assert image.info["icc_profile"] == b"a profile"


@pytest.mark.parametrize("form", list(MORE))
def test_what_has_nothing_to_hide_is_the_same_picture(form):
    made = BytesIO()
    picture().save(made, form)
    left = without_place(made.getvalue(), form, 1)
    assert upright(left) == upright(made.getvalue())
    assert without_place(left, form, 1) == left


def test_what_a_phone_puts_behind_its_picture_goes():
    """A film of the seconds around it, or a second picture, each with a place of its own."""
    film = b"\0\0\0\x18ftypmp42" + PLACE
    content = taken("JPEG") + film
    left = without_place(content, "JPEG", 6)
    assert left.endswith(b"\xff\xd9")
    assert PLACE not in left
    assert upright(left) == upright(content)


@pytest.mark.parametrize("mode", ["CMYK", "L"])
def test_other_colours_stay(mode):
    made = BytesIO()
    picture().convert(mode).save(made, "JPEG")
    assert upright(without_place(made.getvalue(), "JPEG", 1)) == upright(made.getvalue())


def test_sixteen_bits_stay():
    made = BytesIO()
    Image.new("I;16", (40, 30), 40_000).save(made, "PNG")
    with Image.open(BytesIO(without_place(made.getvalue(), "PNG", 1))) as image:
        assert image.getpixel((3, 3)) == 40_000


def test_a_file_that_is_not_laid_out_as_it_says_is_not_passed_as_clean():
    content = taken("JPEG")
    with pytest.raises((struct.error, IndexError, ValueError)):
        without_place(content[:300], "JPEG", 1)
