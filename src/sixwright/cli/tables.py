"""`sixwright new`, `export` and `import`: lines made of tables, and tables made of lines."""

import getpass
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from sixwright.cli.clock import now
from sixwright.kernel.errors import CallError, ConflictError
from sixwright.kernel.protocols import Clock

if TYPE_CHECKING:
    from sixwright.storage.folder import Folder
    from sixwright.storage.workbooks.take_back import WorkbookDifference

MOST_TOLD = 20  # changes of a workbook that are told one by one; more are counted


def run_new(
    folder: Path,
    parts: Path | None,
    columns: tuple[str, ...],
    kinds: tuple[str, ...],
    options: Mapping[str, str | None],
    *,
    hidden: bool,
    clock: Clock,
) -> None:
    """Make a line in a new folder, and say how a spreadsheet was read.

    Raises
    ------
    CallError
        If the options do not go together, or the folder is not empty.
    FolderError
        If the spreadsheet leaves something open that must be said.
    """
    from sixwright.importer.guess import guess_parts
    from sixwright.importer.new_line import new_from_guess, new_line

    day = clock().date()
    if parts is None:
        if columns or kinds or hidden or any(options.values()):
            told = "--column, --currency, --hidden, --kind and --sheet"
            raise CallError(f"{told} must go with --parts.")
        new_line(folder, today=day)
    else:
        guess = guess_parts(
            parts,
            dict(_meaning("--column", "NAME=MEANING", column) for column in columns),
            currency=options["currency"],
            kind=_default_kind(kinds),
            kinds=dict(_meaning("--kind", "WORD=KIND", kind) for kind in kinds if "=" in kind),
            sheet=options["sheet"],
            hidden=hidden,
        )
        # Before it is refused, too: what is asked for is answered with the guess in view.
        sys.stdout.write("\n".join(guess.says()) + "\n")
        new_from_guess(folder, guess, today=day)
    sys.stderr.write(f"Made {folder}. Next: sixwright check {folder}\n")


def _meaning(option: str, form: str, said: str) -> tuple[str, str]:
    name, equals, meaning = (text.strip() for text in said.rpartition("="))
    if not (name and equals):
        raise CallError(f"{option} must be {form}; received “{said}”.")
    return name, meaning


def _default_kind(kinds: tuple[str, ...]) -> str | None:
    """The kind that stands alone: that of the parts whose kind nothing states."""
    alone = [kind for kind in kinds if "=" not in kind]
    if len(alone) > 1:
        listed = " and ".join(f"“{kind}”" for kind in alone)
        raise CallError(f"--kind may stand once without a word before it; received {listed}.")
    return alone[0] if alone else None


def run_export(folder: Path, file: Path) -> None:
    """Write every table of a folder to a workbook, over none that holds anything else.

    Raises
    ------
    CallError
        If such a file is there.
    """
    from sixwright.storage.folder import read
    from sixwright.storage.workbooks.export import to_xlsx
    from sixwright.storage.workbooks.take_back import is_told

    if file.suffix.lower() != ".xlsx":
        raise CallError(f"FILE must end in .xlsx; received “{file}”.")
    found = read(folder)
    if file.is_file() and not is_told(found, file):
        raise CallError(
            f"{file} is there already, and holds what the line does not say: import it first, "
            "name another file, or move it away. Nothing was written."
        )
    to_xlsx(found, file, line=folder)
    sys.stderr.write(f"Wrote {file}.\n")


def run_import(folder: Path, file: Path, *, anyway: bool) -> None:
    """Take a workbook's rows into the folder; rows that did not change stay as they are.

    Raises
    ------
    CallError
        If there is no such file.
    FolderError
        With everything of the workbook that cannot be taken.
    ConflictError
        If the folder has changed since the workbook was exported, and `anyway` is not said.
    """
    from sixwright.storage.edits.write import write
    from sixwright.storage.folder import read
    from sixwright.storage.workbooks.take_back import take

    if not file.is_file():
        raise CallError(f"FILE must be a workbook; there is no “{file}”.")
    found = read(folder)
    taken = take(found, file)
    for sentence in _left(taken, file):
        sys.stderr.write(f"{sentence}\n")
    if not taken.changes:
        sys.stderr.write(f"{file} says what {folder} says already; nothing was written.\n")
        return
    if taken.moved and not anyway:
        raise ConflictError(_refused(taken, found, file))
    write(found, taken.changes, who=getpass.getuser(), clock=now)
    sys.stdout.write("".join(f"{sentence}\n" for sentence in _told(taken, found, "done")))
    changes = "1 change" if len(taken.changes) == 1 else f"{len(taken.changes)} changes"
    sys.stderr.write(f"Took {changes} from {file} into {folder}.\n")


def _left(taken: "WorkbookDifference", file: Path) -> Iterator[str]:
    """What the workbook does not say, and what is done about it: nothing."""
    if taken.tables_left:
        verbs = "it was" if len(taken.tables_left) == 1 else "they were"
        tables = ", ".join(taken.tables_left)
        yield f"{file.name} has no sheet for {tables}: {verbs} left as in the folder."
    for table, column in taken.columns_left:
        yield f"Sheet “{table}” has no column “{column}”: it was left as in the folder."
    if taken.moved is None and taken.changes:
        yield (
            f"{file.name} does not say which state of the line it was exported from: "
            "a newer change may be among those that it takes back."
        )


def _refused(taken: "WorkbookDifference", found: "Folder", file: Path) -> str:
    """Why the workbook is not taken, what it would change, and what can be done."""
    lead = (
        f"The line has changed since {file.name} was exported, and the workbook does not know of "
        "it. Taken as it stands, it would change:"
    )
    listed = [f"  {sentence}" for sentence in _told(taken, found, "tried")]
    close = (
        "Export again and make your edits there; or say --anyway, to take the workbook "
        "as it stands."
    )
    return "\n".join([lead, *listed, close])


def _told(taken: "WorkbookDifference", found: "Folder", manner: str) -> Iterator[str]:
    """The changes in sentences, the first ones one by one."""
    from sixwright.reports.wording.changes import Manner, all_told
    from sixwright.reports.wording.words import say

    locale = found.project.locale
    sentences = all_told(
        taken.changes, found.records, taken.after, most=MOST_TOLD, manner=Manner(manner)
    )
    return (say(sentence, locale) for sentence in sentences)
