"""A new line: a small complete one, or one made of the spreadsheet a producer already has."""

import csv
import io
import os
import shutil
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from sixwright.importer import starter as new_starter
from sixwright.importer.guess import Guess, guess_parts
from sixwright.importer.sample import sample_files
from sixwright.kernel.errors import CallError, FolderError
from sixwright.kernel.ids import slug
from sixwright.project.tables import BY_NAME
from sixwright.storage.files.within import read_plain
from sixwright.storage.files.writer_lock import folder_lock
from sixwright.storage.folder import folder_name, read
from sixwright.storage.tables.toml_text import FILE

# What file managers leave in a folder that its owner takes for empty.
_NOT_CONTENT = {".ds_store", "thumbs.db", "desktop.ini"}
BARE_CURRENCY = "USD"
_STAGE = ".sixwright-new"
_MOST_BYTES = 50_000_000  # of a file that is looked at


def new_line(path: Path, *, today: date) -> None:
    """Lay down a small complete line, invented, in a new or empty folder.

    Parameters
    ----------
    today
        The day it is made; its quotes stand for half a year from then.

    Raises
    ------
    CallError
        If the folder holds anything, or cannot be made; nothing is then written.
    """
    _check_empty(path)
    _lay_down(path, sample_files(id_=_line_id(path), today=today))


def new_bare_line(path: Path, *, today: date) -> None:
    """Lay down a line without parts, for heads that come before the boxes are known.

    Parameters
    ----------
    today
        The day it is made.

    Raises
    ------
    CallError
        If the folder holds anything, or cannot be made; nothing is then written.
    """
    _check_empty(path)
    _lay_down(path, bare_files(line=folder_name(path), today=today))


def bare_files(*, line: str, today: date) -> dict[str, str]:
    """The files of a line without parts, by name.

    Parameters
    ----------
    line
        What the line is called: the folder's name.
    today
        The day it is made.
    """
    toml = [
        f"# Made empty, on {today.isoformat()}. The currency is the one you sell in: put your own.",
        "format = 1",
        f"id = {_quoted(slug(line, otherwise='line'))}",
        f"name = {_quoted(line)}",
        'scale = "1:6"',
        f'currency = "{BARE_CURRENCY}"',
        *new_starter.rules(BARE_CURRENCY, []),
    ]
    tables = {f"{name}.csv": _csv(name, []) for name in ("parts", "contents", "orders")}
    return {"line.toml": "\n".join(toml) + "\n"} | tables


def new_from_parts(  # noqa: PLR0913  each is an option of the command
    path: Path,
    sheet_path: Path,
    columns: Mapping[str, str],
    *,
    today: date,
    currency: str | None = None,
    kind: str | None = None,
    kinds: Mapping[str, str] | None = None,
    sheet: str | None = None,
    hidden: bool = False,
) -> Guess:
    """Make a line of a spreadsheet with one row a part; what it does not state stays unknown.

    Parameters
    ----------
    columns, currency, kind, kinds, sheet, hidden
        As in `guess.guess_parts`.

    Raises
    ------
    CallError
        If the folder holds anything, or cannot be made.
    FolderError
        With everything that must be said before a line can be made. Nothing is then written.
    """
    _check_empty(path)
    guess = guess_parts(
        sheet_path,
        columns,
        currency=currency,
        kind=kind,
        kinds=kinds,
        sheet=sheet,
        hidden=hidden,
    )
    new_from_guess(path, guess, today=today)
    return guess


def new_from_guess(path: Path, guess: Guess, *, today: date) -> None:
    """Make a line of a guess that was shown before.

    Raises
    ------
    CallError, FolderError
        As in `new_from_parts`.
    """
    _check_empty(path)
    if guess.problems:
        what = f"The spreadsheet {guess.file} cannot be made into a line yet"
        raise FolderError(guess.problems, what)
    _lay_down(path, files_of(guess, line=folder_name(path), today=today))


def files_of(guess: Guess, *, line: str, today: date) -> dict[str, str]:
    """The files of the line that a guess makes, by name.

    Parameters
    ----------
    line
        What the line is called where the spreadsheet does not say: the folder's name.
    """
    tables = guess.tables
    currency = guess.currency or ""
    source = " ".join(f"{guess.file}, sheet {guess.sheet}".split())
    toml = [
        f"# Made of {source}, on {today.isoformat()}.",
        "format = 1",
        f"id = {_quoted(slug(line, otherwise='line'))}",
        f"name = {_quoted(guess.line or line)}",
        'scale = "1:6"',
        f"currency = {_quoted(currency)}",
        *new_starter.LOCALE,
    ]
    paid = {way.get("currency", "") for way in tables.ways}
    toml += new_starter.rules(currency, sorted(paid - {currency, ""}))
    for id_, name in tables.looks.items():
        toml += ["", "[[looks]]", f"id = {_quoted(id_)}", f"name = {_quoted(name)}"]
    for id_, name in tables.editions.items():
        toml += ["", "[[editions]]", f"id = {_quoted(id_)}", f"name = {_quoted(name)}"]
        toml += new_starter.of_edition(currency, tables.figures.get(id_))
    orders = [{"sells": edition, "quantity": ""} for edition in tables.editions]
    return {
        "line.toml": "\n".join(toml) + "\n",
        "parts.csv": _csv("parts", tables.parts, tables.own),
        "contents.csv": _csv("contents", tables.contents),
        "orders.csv": _csv("orders", orders),
        "ways.csv": _csv("ways", tables.ways),
        "prices.csv": _csv("prices", tables.prices),
    }


def _quoted(text: str) -> str:
    from tomlkit import string

    return string(text).as_string()


def _csv(table: str, rows: Iterable[Mapping[str, str]], own: Sequence[str] = ()) -> str:
    """The table as CSV text; a cell that a row lacks is empty."""
    names = [*(column.name for column in BY_NAME[table].columns), *own]
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")  # RFC 4180; quotes a bare \r too
    writer.writerow(names)
    writer.writerows([row.get(name, "") for name in names] for row in rows)
    return out.getvalue()


def _line_id(path: Path) -> str:
    return slug(path.resolve().name, otherwise="line")


def is_empty(path: Path) -> bool:
    """Whether a folder holds nothing that its owner would miss; False where it cannot be looked at.

    Parameters
    ----------
    path
        A folder that is there.
    """
    try:
        return not _held(path)
    except OSError:
        return False


def _held(path: Path) -> list[str]:
    left = _left_over(path)
    names = (file.name for file in path.iterdir())
    return sorted(name for name in names if name.lower() not in _NOT_CONTENT and name not in left)


def _check_empty(path: Path) -> None:
    if not path.exists():
        return
    if not path.is_dir():
        raise CallError(f"{path} must be a new or empty folder; it is a file. Nothing written.")
    held = _held(path)
    if held:
        more = f" and {len(held) - 3} more" if len(held) > 3 else ""
        listed = ", ".join(held[:3])
        raise CallError(
            f"{path} must be a new or empty folder; it holds {listed}{more}. Nothing written."
        )


def _lay_down(path: Path, files: Mapping[str, str]) -> None:
    """Write all files or none: made and read beside their place, then put there, line.toml last.

    Nothing that came to the folder meanwhile is replaced or removed, and one window makes a line
    at a time. What a make that broke off left is cleared first.
    """
    with folder_lock(path):
        _check_empty(path)
        existed = path.exists()
        stage = path / _STAGE
        try:
            _clear(path)
            stage.mkdir(parents=True)
            for name, text in files.items():
                (stage / name).write_text(text, encoding="utf-8", newline="")
            read(stage)
            for name in sorted(files, key=lambda name: name == "line.toml"):
                _put(stage / name, path / name)
        except BaseException as error:
            _clear(path)
            if not existed:
                with suppress(OSError):  # it holds something by now
                    path.rmdir()
            if isinstance(error, FileExistsError):
                came = Path(error.filename2 or error.filename).name
                raise CallError(f"{came} came to {path} meanwhile. Nothing written.") from error
            if isinstance(error, OSError):
                raise CallError(f"{path} cannot be written ({error.strerror}).") from error
            raise
        shutil.rmtree(stage, ignore_errors=True)


def _put(made: Path, place: Path) -> None:
    """Give a file that was made its place, where nothing is.

    Raises
    ------
    FileExistsError
        If something is there.
    """
    second = made.with_suffix(".second")  # what another program then writes is not in the stage
    shutil.copyfile(made, second)
    try:
        place.hardlink_to(second)
    except FileExistsError:
        raise
    except OSError:  # a disk on which a file has one name only
        with place.open("xb") as file:
            try:
                file.write(second.read_bytes())
            except BaseException:
                place.unlink(missing_ok=True)
                raise
    second.unlink()


def _left_over(path: Path) -> set[str]:
    """What a make that broke off left: its stage, and tables just as they lie in the stage.

    With a line.toml the line was made, and nothing of it is left over.
    """
    stage = path / _STAGE
    if stage.is_symlink() or not stage.is_dir() or os.path.lexists(path / FILE):
        return set()
    return {_STAGE, *_as_staged(path)}


def _as_staged(path: Path) -> set[str]:
    tables = {table.file for table in BY_NAME.values()}
    return {name for name in tables if _is_same(path / _STAGE / name, path / name)}


def _is_same(made: Path, place: Path) -> bool:
    try:
        return read_plain(made, most=_MOST_BYTES) == read_plain(place, most=_MOST_BYTES)
    except OSError:
        return False


def _clear(path: Path) -> None:
    """Remove the stage, and what lies in the folder just as it does there."""
    if (path / _STAGE).is_symlink():
        return
    for name in _as_staged(path):
        (path / name).unlink(missing_ok=True)
    shutil.rmtree(path / _STAGE, ignore_errors=True)
