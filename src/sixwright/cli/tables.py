"""`sixwright new`, `export` and `import`: lines made of tables, and tables made of lines."""

import getpass
import sys
from collections.abc import Mapping
from pathlib import Path

from sixwright.cli.clock import now
from sixwright.kernel.errors import CallError
from sixwright.kernel.protocols import Clock


def run_new(
    folder: Path,
    parts: Path | None,
    columns: tuple[str, ...],
    kinds: tuple[str, ...],
    options: Mapping[str, str | None],
    *,
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
    from sixwright.storage.guess import guess_parts
    from sixwright.storage.new import new_from_guess, new_line

    day = clock().date()
    if parts is None:
        if columns or kinds or any(options.values()):
            raise CallError("--column, --currency, --kind and --sheet must go with --parts.")
        new_line(folder, today=day)
    else:
        guess = guess_parts(
            parts,
            dict(_meaning("--column", "NAME=MEANING", column) for column in columns),
            currency=options["currency"],
            kind=_default_kind(kinds),
            kinds=dict(_meaning("--kind", "WORD=KIND", kind) for kind in kinds if "=" in kind),
            sheet=options["sheet"],
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
    """Write every table of a folder to a workbook."""
    from sixwright.storage.folder import read
    from sixwright.storage.sheets import to_xlsx

    if file.suffix.lower() != ".xlsx":
        raise CallError(f"FILE must end in .xlsx; received “{file}”.")
    to_xlsx(read(folder), file)
    sys.stderr.write(f"Wrote {file}.\n")


def run_import(folder: Path, file: Path) -> None:
    """Take a workbook's rows into the folder; rows that did not change stay as they are."""
    from sixwright.storage.folder import read
    from sixwright.storage.sheets import from_xlsx
    from sixwright.storage.write import write

    if not file.is_file():
        raise CallError(f"FILE must be a workbook; there is no “{file}”.")
    found = read(folder)
    changes = from_xlsx(found, file)
    if not changes:
        sys.stderr.write(f"{file} says what {folder} says already; nothing was written.\n")
        return
    write(found, changes, who=getpass.getuser(), clock=now)
    sys.stderr.write(f"Took {len(changes)} changes from {file} into {folder}.\n")
