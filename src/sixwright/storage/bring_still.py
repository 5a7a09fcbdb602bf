"""A picture file that comes into the folder as a still: checked, copied, never over another."""

import struct
from contextlib import suppress
from hashlib import sha256 as sha256_of
from io import BytesIO
from pathlib import Path, PurePosixPath

from sixwright.kernel.errors import DiskError, InputError, SixwrightError, shown
from sixwright.kernel.ids import file_slug
from sixwright.line.picture_files import PictureFile
from sixwright.project.records import Change, Record, Records
from sixwright.project.rows import addition
from sixwright.project.tables import BY_NAME
from sixwright.storage.files.coming import came
from sixwright.storage.files.disk import REAL_DISK, Disk
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.within import MOST_TABLE, read_within
from sixwright.storage.files.writer_lock import folder_lock
from sixwright.storage.folder import Folder
from sixwright.storage.letterbox import Bars, bars_of
from sixwright.storage.pictures import FORMATS, MOST_FILE, ORIENTATION, looked_at
from sixwright.storage.replace_still import Place, lie_true, replacement
from sixwright.storage.still_strip import without_place

FOLDER = "stills"
TABLE = "stills"
SIDES = ("left", "top", "right", "bottom")
ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif"}
MOST_ALIKE = 1_000  # names that are tried beside one that is taken


class Arrived:
    """A picture that was opened and checked, and where it lies in the folder once it does."""

    def __init__(
        self, name: str, content: bytes, found: PictureFile, ending: str, bars: Bars
    ) -> None:
        self._name, self._content, self._found, self._ending = name, content, found, ending
        self._bars = bars
        self.file = ""  # in the folder, once it has a place
        self._made: Path | None = None

    def laid_in(self, folder: Folder, person: str, disk: Disk = REAL_DISK) -> Change:
        """Copy it into the folder where its bytes are not there yet; the change that adds its row.

        Raises
        ------
        InputError
            If a still of the folder is this very picture.
        ChangeError
            If the row cannot be added.
        DiskError, BusyError
            If the disk is full or refuses.
        """
        records = folder.records
        self._refuse_twin(records)
        try:
            id_, file = self._place(folder.path, records, disk)
        except OSError as error:
            raise refusal(self._name, error) from error
        cells = {
            "id": id_,
            "file": file,
            "sha256": self._found.sha256,
            "width_px": str(self._found.width_px),
            "height_px": str(self._found.height_px),
            "person": person,
            **self.bar_cells(),
        }
        return addition(records, TABLE, cells)

    def in_place_of(self, folder: Folder, still: str, disk: Disk = REAL_DISK) -> tuple[Change, ...]:
        """Copy it into the folder; the changes that put it in a still's place, marks that lie true.

        Raises
        ------
        InputError
            If there is no such still, or it is this very picture.
        DiskError, BusyError
            If the disk is full or refuses.
        """
        records = folder.records
        row = records.get(TABLE, {}).get(still)
        if row is None:
            raise InputError(f"There is no still “{still}” any more; nothing was written.")
        self._refuse_twin(records)
        try:
            _, file = self._place(folder.path, records, disk)
        except OSError as error:
            raise refusal(self._name, error) from error
        cells = {f"bar_{side}_px": "" for side in SIDES} | {
            "file": file,
            "sha256": self._found.sha256,
            "width_px": str(self._found.width_px),
            "height_px": str(self._found.height_px),
            **self.bar_cells(),
        }
        return replacement(records, still, cells, self._moved(folder, row))

    def _moved(self, folder: Folder, still: Record) -> list[tuple[Record, Place, bool]]:
        """Marks and outlines of a still, where they lie on this picture."""
        marks = [
            (row, (float(x), float(y)))
            for table in ("sightings", "outlines")
            for row in folder.records.get(table, {}).values()
            if row.cells.get("still", "").strip() == still.id
            and (x := row.cells.get("x_px", "").strip())
            and (y := row.cells.get("y_px", "").strip())
        ]
        try:
            old = read_within(folder.path, still.cells.get("file", "").strip(), most=MOST_FILE)
            found = lie_true(old, self._content, [place for _, place in marks])
        except (OSError, SixwrightError) as error:
            raise InputError(
                "The picture that it would replace cannot be read any more, so nothing says which "
                "marks lie true; bring it in as a still of its own. Nothing was written."
            ) from error
        return [(row, *at) for (row, _), at in zip(marks, found, strict=True)]

    def _refuse_twin(self, records: Records) -> None:
        for row in records.get(TABLE, {}).values():
            if row.cells.get("sha256", "").strip() == self._found.sha256:
                raise InputError(
                    f"{self._name} is the still “{row.id}” already; nothing was written."
                )

    def bar_cells(self) -> dict[str, str]:
        """The cells of its black bars; none where it has none."""
        found = {f"bar_{side}_px": getattr(self._bars, side) for side in SIDES}
        return {name: str(wide) for name, wide in found.items() if wide}

    def stays(self, path: Path, disk: Disk = REAL_DISK) -> None:
        """Lay it once more where its row was written and another window took its copy away.

        Raises
        ------
        DiskError, BusyError
            If the disk is full or refuses.
        """
        try:
            self._copied(path, self.file, disk)
        except OSError as error:
            raise refusal(self._name, error) from error

    def take_away(self, path: Path, disk: Disk = REAL_DISK) -> None:
        """Remove the copy that was made, where no row came of it.

        It stays where another window has made a row of the same picture meanwhile, and where
        another file lies there by now.
        """
        if self._made is None:
            return
        with suppress(OSError, SixwrightError), folder_lock(path):
            if not _is_named(path, self.file) and self._is_this(path, self.file):
                disk.remove(self._made)
        self._made = None

    def _place(self, path: Path, records: Records, disk: Disk) -> tuple[str, str]:
        """The id and the file: the first name that is free, or whose file is this picture."""
        plain = file_slug(PurePosixPath(self._name.replace("\\", "/")).stem, otherwise="still")
        rows = records.get(TABLE, {})
        named = {row.cells.get("file", "").strip() for row in rows.values()}
        for number in range(1, MOST_ALIKE):
            id_ = plain if number == 1 else f"{plain}-{number}"
            file = f"{FOLDER}/{id_}{self._ending}"
            if id_ in rows or file in named:
                continue
            if self._is_this(path, file) or self._copied(path, file, disk):
                self.file = file
                return id_, file
        raise DiskError(f"{self._name} finds no free name in {FOLDER}/; nothing was written.")

    def _is_this(self, path: Path, file: str) -> bool:
        with suppress(OSError):
            return read_within(path, file, most=MOST_FILE) == self._content
        return False

    def _copied(self, path: Path, file: str, disk: Disk) -> bool:
        """Whether it was copied there; not where something bears the name."""
        self._made = came(path, file, lambda part: disk.write(part, self._content), disk)
        return self._made is not None


def _is_named(path: Path, file: str) -> bool:
    """Whether the table of stills speaks of a file; for those who hold the folder's lock."""
    try:
        return file.encode() in read_within(path, BY_NAME[TABLE].file, most=MOST_TABLE)
    except FileNotFoundError:
        return False


def arrived(name: str, content: bytes) -> Arrived:
    """A file that came, opened within the limits of stills.

    Parameters
    ----------
    name
        As it is called where it comes from.
    content
        Its bytes.

    Raises
    ------
    InputError
        If it is no picture that can be used, with the reason.
    """
    from PIL import Image, ImageOps

    told = shown(PurePosixPath(name.replace("\\", "/")).name) or "the file"
    if len(content) > MOST_FILE:
        raise InputError(f"{told} is too large to be a still; nothing was written.")
    found = looked_at(content, sha256_of(content).hexdigest())
    if found.fault:
        raise InputError(f"{told} was not brought in, because {found.fault}. Nothing was written.")
    bars, form, orientation = Bars(), "PNG", 1
    with Image.open(BytesIO(content), formats=FORMATS) as image:
        form = "JPEG" if image.format == "MPO" else image.format or form  # MPO: two pictures in one
        with suppress(Exception):  # decoders raise what they like of odd EXIF data
            orientation = int(image.getexif().get(ORIENTATION, 1))
            bars = bars_of(ImageOps.exif_transpose(image))
    content = _without_place(told, content, form, orientation if 1 <= orientation <= 8 else 1)
    found = looked_at(content, sha256_of(content).hexdigest())
    return Arrived(told, content, found, ENDINGS[form], bars)


def _check_whole(made: bytes, content: bytes, form: str) -> None:
    """Of an odd file, more than the place may have gone: a TIFF's lies among its pixels.

    Raises
    ------
    ValueError
        If the picture cannot be opened any more, or is another.
    """
    found = looked_at(made, "")
    if found.fault or (form == "TIFF" and made != content and _pixels(made) != _pixels(content)):
        raise ValueError(form)


def _pixels(content: bytes) -> bytes:
    from PIL import Image

    with Image.open(BytesIO(content), formats=FORMATS) as image:
        return sha256_of(image.tobytes()).digest()


def _without_place(told: str, content: bytes, form: str, orientation: int) -> bytes:
    """The file without place, time and person; refused where it is too odd to be sure of that."""
    try:
        made = without_place(content, form, orientation)
        _check_whole(made, content, form)
    except (struct.error, IndexError, ValueError) as error:
        raise InputError(
            f"{told} was not brought in: what a camera may have written in it of a place cannot be "
            "taken out. Save it once more as PNG, and bring that. Nothing was written."
        ) from error
    return made
