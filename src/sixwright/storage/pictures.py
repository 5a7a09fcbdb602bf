"""The pictures that stills name: each opened once, within the folder and stated limits.

A picture that cannot be used is no error of reading: what it lacks is told of its still, and the
others go on. What was found of a file is remembered by its content.
"""

import warnings
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256 as sha256_of
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from sixwright.line.likeness import Still
from sixwright.line.picture_files import PictureFile
from sixwright.storage.cache import memo
from sixwright.storage.checksums import known_checksum, note_checksum
from sixwright.storage.files.within import MIB, is_there, place, read_within

if TYPE_CHECKING:
    from PIL.Image import Image

# The most that is opened; docs/limits.md states them.
MOST_OPENED = 1_000
MOST_FILE_MB = 256
MOST_FILE = MOST_FILE_MB * MIB
MOST_IN_ALL = 2048 * MIB
MOST_PIXELS = 100_000_000
MOST_PIXELS_WEBP = 25_000_000  # its decoder takes 15 bytes a pixel, and more than one frame
LARGE = 12_000_000  # pixels: how sharp a larger picture is, is seen at a quarter of its size
MOST_PIXELS_IN_ALL = 2_000_000_000
FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")

_NO_PICTURE = "it is no JPEG, PNG, WebP or TIFF"
ORIENTATION = 0x0112  # JEITA CP-3451 (EXIF 2.31), table 4: tag 274, Orientation
_LIES = (5, 6, 7, 8)  # its values whose turn exchanges width and height


@dataclass(frozen=True, slots=True)
class PictureContent:
    """What the facts of a picture rest on: the bytes of its file."""

    sha256: str


def pictures_of(folder: Path, stills: Iterable[Still]) -> dict[str, PictureFile]:
    """What lies where each still names its file, by that name; stills that name none are left out.

    Parameters
    ----------
    folder
        The line's.
    stills
        In the folder's order: beyond the limits of all files together the later are not opened.
    """
    found: dict[str, PictureFile] = {}
    left, pixels = MOST_IN_ALL, MOST_PIXELS_IN_ALL
    for name in dict.fromkeys(still.file for still in stills if still.file):
        if len(found) >= MOST_OPENED:
            found[name] = PictureFile(fault=f"more than {MOST_OPENED} are named, which are opened")
            continue
        size = _size(folder, name)
        left -= min(size, MOST_FILE)
        if left < 0 or pixels < 0:
            found[name] = PictureFile(fault=_beyond(of_bytes=left < 0))
            continue
        one = _opened(folder, name)
        pixels -= (one.width_px or 0) * (one.height_px or 0)
        found[name] = one
    return found


def _beyond(*, of_bytes: bool) -> str:
    most = f"{MOST_IN_ALL // MIB} MB" if of_bytes else f"{MOST_PIXELS_IN_ALL} pixels"
    return f"the files of all stills have more than {most}, the most that are opened"


def _size(folder: Path, name: str) -> int:
    try:
        return place(folder, name).stat().st_size
    except OSError:
        return 0


def _opened(folder: Path, name: str) -> PictureFile:
    """One file: from memory where it has not changed since it was opened."""
    if "\\" in name:
        return PictureFile(fault="the parts of a path are separated by / in a row")
    try:
        inner = place(folder, name)
        if not is_there(folder, name):
            return PictureFile(is_there=False, fault="there is no file of that name in the folder")
        sha256 = known_checksum(inner)
        content = b""
        if sha256 is None:
            before = inner.stat()
            content = read_within(folder, name, most=MOST_FILE)
            sha256 = sha256_of(content).hexdigest()
            note_checksum(inner, before, sha256)

        def look() -> PictureFile:
            return looked_at(content or read_within(folder, name, most=MOST_FILE), sha256)

        return memo("picture", PictureContent(sha256), PictureFile, look)
    except OSError as error:
        return PictureFile(fault=f"it is {error.strerror or 'a file that cannot be read'}")


def looked_at(content: bytes, sha256: str) -> PictureFile:
    """The picture that these bytes are, decoded to its end, or why they are none.

    Whatever comes from outside is opened here: the size that it states is held against the limits
    before anything of it is unpacked.
    """
    from PIL import Image

    # The limit is our own, and holds before anything is decoded: see below.
    Image.MAX_IMAGE_PIXELS = None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # on odd EXIF data, which are read as none
        try:
            with Image.open(BytesIO(content), formats=FORMATS) as image:
                width, height = image.size
                most = MOST_PIXELS_WEBP if image.format == "WEBP" else MOST_PIXELS
                if width * height > most:
                    fault = f"it has more than {most} pixels, the most that is opened"
                    return PictureFile(fault=fault)
                turned = _is_turned(image)
                # A JPEG is read whole; a large one is kept small.
                image.draft(None, (width // 4, height // 4) if width * height > LARGE else None)
                image.load()
                blur = _blur(image, width)
        except Exception:  # noqa: BLE001  decoders raise whatever a broken file leads them to
            return PictureFile(sha256, fault=_why_not(content))
    size = (height, width) if turned else (width, height)
    return PictureFile(sha256, *size, is_turned=turned, blur_px=blur)


def _blur(image: "Image", width: int) -> float | None:
    """The blur of a decoded picture, in pixels of the file; `width` is the file's."""
    import numpy as np

    from sixwright.numerics.sharpness import blur_px

    deep = image.mode.startswith("I")  # 16 bits
    plain = image.convert("I") if deep else image.convert("L")
    if plain.width * plain.height > LARGE:
        plain = plain.reduce(4)
    grey = np.asarray(plain, np.float64) / (256 if deep else 1)
    found = blur_px(grey)
    return None if found is None else found * width / plain.width


def _is_turned(image: "Image") -> bool:
    try:
        return image.getexif().get(ORIENTATION) in _LIES
    except Exception:  # noqa: BLE001  as above: odd EXIF data are none
        return False


def _why_not(content: bytes) -> str:
    """Whether it begins as a picture does, and is broken further on."""
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(BytesIO(content), formats=FORMATS) as image:
            return f"it is a {image.format} that is broken, or was cut short"
    except UnidentifiedImageError:
        return _NO_PICTURE if content else "it is an empty file"
    except Exception:  # noqa: BLE001  as above
        return _NO_PICTURE
