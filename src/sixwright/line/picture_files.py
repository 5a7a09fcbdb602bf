"""What lies where a still names its file."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A file that a still names, as it was opened.

    Attributes
    ----------
    sha256
        Of its bytes, as hexadecimal digits; empty where they could not be read.
    width_px, height_px
        Of the upright picture, after the turn that its EXIF data ask for; None where it is none.
    is_turned
        Whether that turn makes a lying picture stand, or a standing one lie.
    blur_px
        Standard deviation of the blur of its sharpest part, px; None where all of it is flat.
    is_there
        Whether there is anything of that name within the folder.
    fault
        Why it cannot be used, to stand after “because”; empty where it can.
    """

    sha256: str = ""
    width_px: int | None = None
    height_px: int | None = None
    is_turned: bool = False
    blur_px: float | None = None
    is_there: bool = True
    fault: str = ""
