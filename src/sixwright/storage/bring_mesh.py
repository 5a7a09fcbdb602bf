"""A mesh that was looked at comes into the folder as a round: copied, never over another file."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from hashlib import file_digest
from pathlib import Path, PurePosixPath

from sixwright.kernel.errors import DiskError, InputError, SixwrightError
from sixwright.kernel.ids import file_slug
from sixwright.line.likeness import Round
from sixwright.line.meshes import MeshReading
from sixwright.project.model import Project
from sixwright.project.records import Change, Records
from sixwright.project.rows import addition
from sixwright.project.tables import BY_NAME
from sixwright.storage.checksums import known_checksum, note_checksum
from sixwright.storage.files.coming import came
from sixwright.storage.files.disk import REAL_DISK, Disk
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.within import MOST_TABLE, read_within
from sixwright.storage.files.writer_lock import folder_lock
from sixwright.storage.folder import Folder

FOLDER = "heads"
MOST_ALIKE = 1_000  # names that are tried beside one that is taken
_PIECE = 1 << 24  # bytes that are copied at once


@dataclass(frozen=True, slots=True)
class MeshDestination:
    """As what a mesh is to be kept.

    Attributes
    ----------
    sculpt
        Id of the sculpt whose next round it is; empty for a head of its own.
    round
        Id of a round that waits for its file; empty for a round of its own.
    person
        Whom a new head depicts; empty where that is not known.
    """

    sculpt: str = ""
    round: str = ""
    person: str = ""


class BroughtMesh:
    """A mesh file outside of the folder, and where it lies in it once it does: its `path`."""

    def __init__(self, name: str, file: Path, sha256: str, ending: str) -> None:
        self.name, self.sha256 = name, sha256
        self._file, self._ending = file, ending
        self._made: Path | None = None
        self.path = ""

    def laid_in(
        self,
        folder: Folder,
        reading: MeshReading,
        wanted: MeshDestination,
        on: date,
        disk: Disk = REAL_DISK,
    ) -> tuple[Change, ...]:
        """Copy it into the folder; the changes that make it a round.

        Raises
        ------
        InputError
            If a round of the folder has this very file, or there is no such sculpt.
        ChangeError
            If a row cannot be added.
        DiskError, BusyError
            If the disk is full or refuses.
        """
        records, project = folder.records, folder.project
        known = round_with(project, self.sha256)
        if known is not None:
            raise InputError(f"{self.name} is {named(known)} already; nothing was written.")
        _check(project, wanted)
        made = () if wanted.sculpt or wanted.round else (self._sculpt(records, wanted.person),)
        try:
            self.path = self._copied(folder.path, records, disk)
        except OSError as error:
            raise refusal(self.name, error) from error
        says = {
            "mesh": self.path,
            "sha256": self.sha256,
            "unit": reading.unit.value,
            # A letter alone is the positive axis, and starts no formula.
            "up": reading.up.value.removeprefix("+"),
            "front": reading.front.value.removeprefix("+"),
        }
        if wanted.round:
            return _filled(records, wanted.round, says)
        sculpt = made[0].id if made else wanted.sculpt
        shown = _shown_too(project, wanted.person) if made else ()
        new = _new_round(records, project, sculpt, says | {"date": on.isoformat()})
        return (*made, new, *shown)

    def stays(self, path: Path, disk: Disk = REAL_DISK) -> None:
        """Lay it once more where its row was written and another window took its copy away.

        Raises
        ------
        DiskError, BusyError
            If the disk is full or refuses.
        """
        try:
            came(path, self.path, lambda part: self._copy(part, disk), disk)
        except OSError as error:
            raise refusal(self.name, error) from error

    def take_away(self, path: Path, disk: Disk = REAL_DISK) -> None:
        """Remove the copy that was made, where no row came of it.

        It stays where another window has made a row of the same file meanwhile.
        """
        if self._made is None:
            return
        with suppress(OSError, SixwrightError), folder_lock(path):
            if not _is_named(path, self.path) and self._is_this(self._made):
                disk.remove(self._made)
        self._made = None

    @property
    def stem(self) -> str:
        """The file's name as an id."""
        name = PurePosixPath(self.name.replace("\\", "/")).stem
        return file_slug(name, otherwise="head")

    def _sculpt(self, records: Records, person: str) -> Change:
        rows = records.get("sculpts", {})
        ids = (self.stem, *(f"{self.stem}-{i}" for i in range(2, MOST_ALIKE)))
        id_ = next((one for one in ids if one not in rows), self.stem)
        return addition(records, "sculpts", {"id": id_, "person": person})

    def _copied(self, path: Path, records: Records, disk: Disk) -> str:
        """The file within the folder: under the first name that is free."""
        taken = {row.cells.get("mesh", "").strip() for row in records.get("rounds", {}).values()}
        for number in range(1, MOST_ALIKE):
            name = f"{FOLDER}/{self.stem}{'' if number == 1 else f'-{number}'}{self._ending}"
            if name in taken:
                continue
            if self._is_this(path / name):
                return name
            self._made = came(path, name, lambda part: self._copy(part, disk), disk)
            if self._made is not None:
                note_checksum(self._made, self._made.stat(), self.sha256)
                return name
        raise DiskError(f"{self.name} finds no free name in {FOLDER}/; nothing was written.")

    def _is_this(self, file: Path) -> bool:
        """Whether this very file lies there already, of an edit that was taken back."""
        with suppress(OSError):
            if file.is_symlink() or file.stat().st_size != self._file.stat().st_size:
                return False
            with file.open("rb") as there:
                return self.sha256 in {
                    known_checksum(file),
                    file_digest(there, "sha256").hexdigest(),
                }
        return False

    def _copy(self, part: Path, disk: Disk) -> None:
        disk.write(part, b"")
        with self._file.open("rb") as file:
            while piece := file.read(_PIECE):
                disk.append(part, piece)


def _is_named(path: Path, file: str) -> bool:
    """Whether the table of rounds speaks of a file; for those who hold the folder's lock."""
    try:
        return file.encode() in read_within(path, BY_NAME["rounds"].file, most=MOST_TABLE)
    except FileNotFoundError:
        return False


def round_with(project: Project, sha256: str) -> Round | None:
    """The round whose row records this content."""
    return next((one for one in project.rounds.values() if one.sha256 == sha256), None)


def named(round_: Round) -> str:
    """A round in words."""
    return f"round {round_.number} of {round_.sculpt}" if round_.number else f"“{round_.id}”"


def next_number(project: Project, sculpt: str) -> int:
    """The number of the next round of a sculpt."""
    rounds = [one for one in project.rounds.values() if one.sculpt == sculpt]
    return max([one.number or 0 for one in rounds] + [len(rounds)]) + 1


def _check(project: Project, wanted: MeshDestination) -> None:
    waits = project.rounds.get(wanted.round)
    if wanted.round and (waits is None or waits.mesh):
        raise InputError(f"“{wanted.round}” waits for no file any more; nothing was written.")
    if wanted.sculpt and wanted.sculpt not in project.sculpts:
        raise InputError(f"There is no sculpt “{wanted.sculpt}” any more; nothing was written.")


def _shown_too(project: Project, person: str) -> tuple[Change, ...]:
    """Whom the stills show that came before anybody was named: the first person of the line."""
    named = [sculpt.person for sculpt in project.sculpts.values()]
    named += [still.person for still in project.stills.values()]
    if not person or any(named):
        return ()
    return tuple(Change("stills", still, "person", "", person) for still in project.stills)


def _filled(records: Records, round_: str, says: Mapping[str, str]) -> tuple[Change, ...]:
    cells = records["rounds"][round_].cells
    return tuple(
        Change("rounds", round_, column, cells.get(column, ""), value)
        for column, value in says.items()
        if cells.get(column, "").strip() != value
    )


def _new_round(records: Records, project: Project, sculpt: str, says: Mapping[str, str]) -> Change:
    number, rows = next_number(project, sculpt), records.get("rounds", {})
    ids = (f"{sculpt}-{i}" for i in range(number, number + MOST_ALIKE))
    id_ = next(one for one in ids if one not in rows)
    row = {"id": id_, "sculpt": sculpt, "number": str(number)}
    return addition(records, "rounds", row | dict(says))
