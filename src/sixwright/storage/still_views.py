"""Stills as a browser is shown them: upright, of a stated size, without the data of the camera."""

from contextlib import suppress
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from sixwright.line.picture_files import PictureFile
from sixwright.storage.cache import keep
from sixwright.storage.files.within import read_within
from sixwright.storage.files.writer_lock import cache_path
from sixwright.storage.pictures import FORMATS, MOST_FILE, MOST_PIXELS

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_SIDE = 4096  # px of the longer side; a larger still is shown smaller
MOST_BYTES = 400_000_000  # of views in the cache
QUALITY = 92
DEEP = 256  # values of a 16-bit grey to one of 8 bits


def still_view(
    folder: Path, name: str, found: PictureFile, bars: tuple[int, int, int, int] = (0, 0, 0, 0)
) -> bytes | None:
    """A still as JPEG; None where its file is none that can be used, or went meanwhile.

    Parameters
    ----------
    folder, name
        As `read_within`.
    found
        What was found of the file when it was opened: see `storage.pictures`.
    bars
        How wide the black bars are that are left out, px: left, top, right, bottom.
    """
    if found.fault or not found.sha256:
        return None
    file = cache_path() / "still-views" / f"{found.sha256}-{MOST_SIDE}{_named(bars)}.jpg"
    with suppress(OSError):
        return file.read_bytes()
    try:
        made = _drawn(read_within(folder, name, most=MOST_FILE), bars)
    except Exception:  # noqa: BLE001  it was exchanged meanwhile: decoders raise what they like
        return None
    with suppress(OSError):
        keep(file, made, MOST_BYTES)
    return made


def _named(bars: tuple[int, int, int, int]) -> str:
    return "".join(f"-{wide}" for wide in bars) if any(bars) else ""


def _drawn(content: bytes, bars: tuple[int, int, int, int]) -> bytes:
    """The picture upright and within the size, its colours as a screen has them.

    Raises
    ------
    ValueError
        If it has more pixels than are opened.
    """
    from PIL import Image, ImageOps

    with Image.open(BytesIO(content), formats=FORMATS) as opened:
        if opened.width * opened.height > MOST_PIXELS:
            raise ValueError(f"width times height must be {MOST_PIXELS} at most (px).")
        opened.load()
        upright = ImageOps.exif_transpose(opened)
    if any(bars):
        left, top, right, bottom = bars
        upright = upright.crop((left, top, upright.width - right, upright.height - bottom))
    plain = _in_colours(upright)
    plain.thumbnail((MOST_SIDE, MOST_SIDE), Image.Resampling.LANCZOS)
    made = BytesIO()
    plain.save(made, "JPEG", quality=QUALITY)
    return made.getvalue()


def _in_colours(image: "Image") -> "Image":
    """Red, green and blue of 8 bits; a 16-bit grey is scaled, what is see-through is on white."""
    from PIL import Image

    if image.mode.startswith("I"):
        return image.convert("I").point(lambda value: value / DEEP).convert("L").convert("RGB")
    if "A" in image.getbands() or "transparency" in image.info:
        full = image.convert("RGBA")
        under = Image.new("RGBA", full.size, "white")
        return Image.alpha_composite(under, full).convert("RGB")
    return image.convert("RGB")
