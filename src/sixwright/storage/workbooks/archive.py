"""The parts of a workbook's file, of a stated size: whatever it says of itself, or is."""

import io
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from sixwright.kernel.errors import FolderError, Problem
from sixwright.storage.files.within import MIB, open_named

# The most that a workbook may hold; docs/limits.md states them. Pictures count for the file alone.
MOST_FILE = 256 * MIB
MOST_UNPACKED = 192 * MIB
MOST_PARTS = 20_000
MOST_MARKS = 12_000_000  # of "<": a cell takes four to six
_TEXTS = (".xml", ".rels")
_BOOK = "a workbook (XLSX)"


class UnusableError(Exception):
    """A part of a workbook cannot be taken: what is read, and what was found."""

    def __init__(self, expected: str, found: str) -> None:
        super().__init__(expected, found)
        self.expected, self.found = expected, found


class Archive(zipfile.ZipFile):
    """A workbook's file, whose parts together may hold so much and no more.

    They are looked through once before anything is made of them: inflating takes a hundredth of
    the time that reading takes. What is read is then counted again, whatever it is called.

    Raises
    ------
    UnusableError
        If there is more in it.
    """

    def __init__(self, file: IO[bytes]) -> None:
        super().__init__(file)
        parts = self.infolist()
        if len(parts) > MOST_PARTS:
            raise UnusableError(f"at most {MOST_PARTS} parts", f"{len(parts)}")
        texts = [part for part in parts if part.filename.lower().endswith(_TEXTS)]
        self._unpacked, self._marks = sum(part.file_size for part in texts), 0
        self.count(b"")
        for part in texts:
            with super().open(part) as content:
                for piece in iter(lambda content=content: content.read(MIB), b""):  # type: ignore[misc]
                    self._marks += piece.count(b"<")
                    self.count(b"")
        self._unpacked = self._marks = 0

    def open(self, name: Any, mode: Any = "r", pwd: Any = None, **options: Any) -> Any:
        """One part, counted as it is read."""
        return _Counted(super().open(name, mode, pwd, **options), self)

    def count(self, content: bytes) -> None:
        """Count what was read of a part.

        Raises
        ------
        UnusableError
            If it is more than is read.
        """
        self._unpacked += len(content)
        self._marks += content.count(b"<")
        if self._unpacked > MOST_UNPACKED:
            raise UnusableError(f"at most {MOST_UNPACKED // MIB} MB, unpacked", "more")
        if self._marks > MOST_MARKS:
            raise UnusableError(f"at most {MOST_MARKS} tags, their ends counted", "more")


class _Counted(io.RawIOBase):
    """A part, read in pieces."""

    _PIECE = MIB

    def __init__(self, part: Any, archive: Archive) -> None:
        super().__init__()
        self._part, self._archive = part, archive

    def readable(self) -> bool:
        return True

    def read(self, size: int | None = -1) -> bytes:
        if size is None or size < 0:
            return b"".join(iter(lambda: self.read(self._PIECE), b""))
        content: bytes = self._part.read(size)
        self._archive.count(content)
        return content

    def close(self) -> None:
        self._part.close()
        super().close()


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """A workbook, opened as far as its list of sheets, its texts and its styles.

    Raises
    ------
    FolderError
        If the file cannot be opened, is no workbook, or holds more than is read.
    """
    try:
        with open_named(path, most=MOST_FILE) as file:
            with told(path.name, path.name), unbroken(_BOOK):
                reader = _reader(Archive(file))
            yield reader
    except OSError as error:
        raise unreadable(path.name, Problem(path.name, _BOOK, why_not(error))) from error


@contextmanager
def told(file: str, place: str, *, row: Callable[[], int | None] = lambda: None) -> Iterator[None]:
    """What cannot be taken, as an error with its place.

    Parameters
    ----------
    row
        Tells the row that is being read.

    Raises
    ------
    FolderError
        If a part cannot be taken.
    """
    try:
        yield
    except UnusableError as error:
        problem = Problem(place, error.expected, error.found, row=row())
        raise unreadable(file, problem) from error


@contextmanager
def unbroken(expected: str) -> Iterator[None]:
    """Whatever a library raises at a part of the file, as one error; for its calls alone.

    Raises
    ------
    UnusableError
        If it raises.
    """
    try:
        yield
    except UnusableError:
        raise
    except zipfile.BadZipFile as error:
        raise UnusableError(expected, "a file that is none, or a protected one") from error
    except Exception as error:  # a broken part raises anything at all there
        raise UnusableError(expected, f"something else ({type(error).__name__})") from error


def _reader(archive: Archive) -> Any:
    """The library's reader of this file, fed by the counted parts alone."""
    from openpyxl.reader.excel import ExcelReader
    from openpyxl.styles.stylesheet import apply_stylesheet

    reader = ExcelReader(archive.fp, data_only=True, keep_links=False)
    reader.archive = archive
    reader.read_manifest()
    reader.read_strings()
    reader.read_workbook()
    apply_stylesheet(archive, reader.wb)
    return reader


def unreadable(file: str, problem: Problem) -> FolderError:
    """The error of a spreadsheet that cannot be read."""
    return FolderError((problem,), f"The spreadsheet {file} cannot be read")


def why_not(error: OSError) -> str:
    """Why the system does not open a file."""
    if isinstance(error, FileNotFoundError):
        return "no such file"
    return f"a file that cannot be opened ({error.strerror})"
