"""A picture file that comes into the folder as a still: checked, copied, never over another."""

from contextlib import suppress
from hashlib import sha256 as sha256_of
from io import BytesIO
from pathlib import Path, PurePosixPath

from sixwright.kernel.errors import DiskError, InputError, SixwrightError, shown
from sixwright.kernel.ids import file_slug
from sixwright.line.picture_files import PictureFile
from sixwright.project.records import Change, Records
from sixwright.project.rows import addition
from sixwright.project.tables import BY_NAME
from sixwright.storage.files.coming import came
from sixwright.storage.files.disk import REAL_DISK, Disk
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.within import MOST_TABLE, read_within
from sixwright.storage.files.writer_lock import folder_lock
from sixwright.storage.folder import Folder
from sixwright.storage.pictures import FORMATS, MOST_FILE, looked_at

FOLDER = "stills"
TABLE = "stills"
ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif"}
MOST_ALIKE = 1_000  # names that are tried beside one that is taken


class Arrived:
    """A picture that was opened and checked, and where it lies in the folder once it does."""

    def __init__(self, name: str, content: bytes, found: PictureFile, ending: str) -> None:
        self._name, self._content, self._found, self._ending = name, content, found, ending
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
        for row in records.get(TABLE, {}).values():
            if row.cells.get("sha256", "").strip() == self._found.sha256:
                raise InputError(
                    f"{self._name} is the still “{row.id}” already; nothing was written."
                )
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
        }
        return addition(records, TABLE, cells)

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
    from PIL import Image

    told = shown(PurePosixPath(name.replace("\\", "/")).name) or "the file"
    if len(content) > MOST_FILE:
        raise InputError(f"{told} is too large to be a still; nothing was written.")
    found = looked_at(content, sha256_of(content).hexdigest())
    if found.fault:
        raise InputError(f"{told} was not brought in, because {found.fault}. Nothing was written.")
    with Image.open(BytesIO(content), formats=FORMATS) as image:
        ending = ENDINGS[image.format or "PNG"]
    return Arrived(told, content, found, ending)
