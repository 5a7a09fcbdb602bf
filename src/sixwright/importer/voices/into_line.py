"""An export of votes or comments taken into a line: what is new, once, as one edit."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from sixwright.importer.voices.columns import ExportColumns, guessed
from sixwright.importer.voices.exports import Export, read_export
from sixwright.importer.voices.take import ExportRows, People, taken_comments, taken_votes
from sixwright.kernel.errors import CallError, FolderError
from sixwright.kernel.protocols import Clock
from sixwright.line.voices import Poll
from sixwright.project.records import Change
from sixwright.project.tables import BY_NAME
from sixwright.storage.edits.csv_edit import CsvStyle, style_of
from sixwright.storage.edits.large_edit import SOURCE, ids_of, with_rows
from sixwright.storage.edits.write import write
from sixwright.storage.folder import Folder
from sixwright.storage.voters_key import voters_key

FILES = {"votes": "votes.csv", "comments": "comments.csv"}
REFUSED = "The export {} cannot be taken in as it is; nothing was written"


@dataclass(frozen=True, slots=True)
class VoicesImport:
    """What is to be taken in, and how it is to be read.

    Attributes
    ----------
    table
        ``votes`` or ``comments``.
    poll
        Id of the poll that the votes are of.
    said
        Column: what it means, where that is said now.
    where
        Where comments were written, where the export does not say.
    anyway
        Whether rows that cannot be read are left out instead of refused.
    """

    file: Path
    table: str
    poll: str = ""
    said: Mapping[str, str] | None = None
    where: str = ""
    anyway: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an import came to.

    Attributes
    ----------
    folder
        The line as it is now.
    columns
        What each column was taken for.
    new, known
        Rows that were added, and rows that were there already.
    taken
        What the export holds.
    """

    folder: Folder
    columns: ExportColumns
    new: int
    known: int
    taken: ExportRows


def read_wanted(folder: Folder, wanted: VoicesImport) -> tuple[Export, ExportColumns, ExportRows]:
    """What an export would bring; nothing is written.

    Raises
    ------
    FolderError
        If the file cannot be read.
    CallError
        If there is no such poll, or a column that is needed is not found.
    """
    export = read_export(wanted.file)
    project = folder.project
    poll = _poll(folder, wanted) if wanted.table == "votes" else None
    options = {o.option: o.name for (of, _), o in project.options.items() if poll and of == poll.id}
    known = _remembered(folder, wanted.table, export.signature)
    columns = guessed(export, wanted.table, options=options, known=known, said=wanted.said or {})
    keep = folder.records["line"]["line"].cells.get("voices.names") == "keep"
    people = People(None if keep else voters_key())
    first = not project.locale.endswith("-US")
    if poll is not None:
        taken = taken_votes(export, columns, poll, options, people, day_first=first)
    else:
        taken = taken_comments(export, columns, people, where=wanted.where, day_first=first)
    return export, columns, taken


def take_in(folder: Folder, wanted: VoicesImport, *, who: str, clock: Clock) -> Outcome:
    """Take an export in; what is there already stays as it is, so that twice is once.

    Raises
    ------
    FolderError
        If the file cannot be read, or rows of it cannot and `anyway` was not said.
    CallError
        If there is no such poll, or a column that is needed is not found.
    ConflictError, BusyError, DiskError, ChangeError
        If the folder cannot be written. Nothing is written in any of these cases.
    """
    export, columns, taken = read_wanted(folder, wanted)
    if taken.problems and not wanted.anyway:
        raise FolderError(taken.problems, REFUSED.format(wanted.file.name))
    name = FILES[wanted.table]
    content = folder.files.get(name)
    there = ids_of(name, content)
    imports = folder.project.imports
    counted = {"", *(id_ for id_, each in imports.items() if each.counts)}
    new = {id_: cells for id_, cells in taken.rows.items() if id_ not in there}
    left = [id_ for id_ in taken.rows if there.get(id_, "") not in counted]
    known = len(taken.rows) - len(new)
    if not new and not left:
        return Outcome(folder, columns, 0, known, taken)
    source = _import_id(wanted, folder)
    rows = {id_: {**cells, SOURCE: source} for id_, cells in new.items()}
    like = folder.files.get("parts.csv")
    style = CsvStyle() if like is None else style_of(like, BY_NAME["parts"])
    after = with_rows(name, content, rows, style, again=left, source=source)
    row = {
        "table": wanted.table,
        "poll": wanted.poll,
        "file": wanted.file.name,
        "taken": clock().date().isoformat(),
        "rows": str(len(rows) + len(left)),
        "counts": "yes",
        "signature": export.signature,
        "columns": json.dumps(dict(columns.means), ensure_ascii=False),
    }
    add = {"id": source, **{column: text for column, text in row.items() if text}}
    changes = [Change("imports", source, add=add)]
    written = write(folder, changes, who=who, clock=clock, beside={name: after})
    return Outcome(written, columns, len(new) + len(left), known - len(left), taken)


def _poll(folder: Folder, wanted: VoicesImport) -> Poll:
    polls = folder.project.polls
    if wanted.poll in polls:
        return polls[wanted.poll]
    told = ", ".join(polls) or "none yet: add one to polls.csv, and its options to options.csv"
    raise CallError(f"Say which poll the votes are of, --poll ID; the line's polls are {told}.")


def _remembered(folder: Folder, table: str, signature: str) -> dict[str, str]:
    """What was said of the columns of an export like this one before."""
    for each in reversed([*folder.project.imports.values()]):
        if each.table == table and each.signature == signature:
            try:
                said = json.loads(each.columns)
            except ValueError:
                continue
            if isinstance(said, dict):
                return {str(name): str(means) for name, means in said.items()}
    return {}


def _import_id(wanted: VoicesImport, folder: Folder) -> str:
    """The same for the same file into the same table, unless such an import is there."""
    content = f"{wanted.table}\0{wanted.poll}\0".encode() + wanted.file.read_bytes()
    id_ = f"{wanted.table}-{sha256(content).hexdigest()[:10]}"
    free = (f"{id_}-{n}" for n in range(2, len(folder.project.imports) + 3))
    return (
        id_
        if id_ not in folder.project.imports
        else next(other for other in free if other not in folder.project.imports)
    )
