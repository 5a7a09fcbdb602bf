"""The command `sixwright`: each verb calls the one function that does the work."""

import gc
import os
import sys
from pathlib import Path
from typing import Annotated, NoReturn

import typer

from sixwright.cli.clock import clock_at
from sixwright.cli.pairs import pairs
from sixwright.kernel.errors import (
    BusyError,
    CallError,
    ChangeError,
    ConflictError,
    DiskError,
    FolderError,
    InputError,
    SixwrightError,
)

HOLDS, FAILS, CALLED_WRONGLY, UNREADABLE, OUR_FAULT = range(5)

app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    help="One folder for a line of sixth-scale figures, and all its producer must decide.",
)

Folder = Annotated[Path, typer.Argument(metavar="DIR", help="The folder of a line.")]
Today = Annotated[
    str | None, typer.Option("--today", metavar="DATE", help="Judge as of this date (2026-09-14).")
]


@app.command()
def check(
    folder: Folder = Path(),
    topics: Annotated[
        list[str] | None, typer.Argument(metavar="TOPIC", help="Only these questions.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="The same as data.")] = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="Doubtful and unchecked count like a failure.")
    ] = False,
    today: Today = None,
) -> None:
    """Judge every rule, and say what needs you, worst first."""
    from sixwright.cli.check import run_check

    raise typer.Exit(
        run_check(folder, tuple(topics or ()), as_json=as_json, strict=strict, today=today)
    )


@app.command()
def report(
    folder: Folder = Path(),
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder to write into.")] = Path(
        "report"
    ),
    today: Today = None,
) -> None:
    """Write the line as HTML and PDF, and a sheet for buyers of what is in each edition."""
    from sixwright.cli.report import run_report

    raise typer.Exit(run_report(folder, out, today=today))


@app.command()
def serve(
    folder: Folder = Path(),
    port: Annotated[int, typer.Option("--port", metavar="N", help="The port.")] = 8106,
    today: Today = None,
    who: Annotated[
        str, typer.Option("--who", metavar="NAME", help="The name that your edits are under.")
    ] = "",
) -> None:
    """Show the line's pages in a browser, on this machine only."""
    from sixwright.cli.serve import run_serve

    run_serve(folder, port, clock=clock_at(today), who=who)


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A new or empty folder.")],
    parts: Annotated[
        Path | None, typer.Option("--parts", metavar="FILE", help="Your spreadsheet, XLSX or CSV.")
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option("--column", metavar="NAME=MEANING", help="Correct one guess."),
    ] = None,
    currency: Annotated[
        str | None, typer.Option("--currency", metavar="CODE", help="The currency you sell in.")
    ] = None,
    kind: Annotated[
        list[str] | None,
        typer.Option(
            "--kind",
            metavar="WORD=KIND",
            help="What a word of yours means; KIND alone is the kind of all parts that state none.",
        ),
    ] = None,
    hidden: Annotated[
        bool, typer.Option("--hidden", help="Read hidden rows and columns as well.")
    ] = False,
    sheet: Annotated[
        str | None, typer.Option("--sheet", metavar="NAME", help="The sheet with the parts.")
    ] = None,
    today: Today = None,
) -> None:
    """Make a small complete line, or one from the spreadsheet you have."""
    from sixwright.cli.tables import run_new

    options = {"currency": currency, "sheet": sheet}
    told = tuple(column or ()), tuple(kind or ())
    run_new(folder, parts, *told, options, hidden=hidden, clock=clock_at(today))


@app.command()
def export(
    folder: Folder,
    file: Annotated[Path, typer.Argument(metavar="FILE.xlsx", help="The workbook to write.")],
) -> None:
    """Write every table of the line as one workbook."""
    from sixwright.cli.tables import run_export

    run_export(folder, file)


@app.command(name="import")
def import_(
    folder: Folder,
    file: Annotated[Path, typer.Argument(metavar="FILE.xlsx", help="The workbook to read.")],
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Also where the line changed since the export.")
    ] = False,
) -> None:
    """Take a workbook that `export` wrote back into the line."""
    from sixwright.cli.tables import run_import

    run_import(folder, file, anyway=anyway)


@app.command()
def collect(
    folder: Folder,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="An export, CSV, XLSX or JSON.")],
    poll: Annotated[
        str, typer.Option("--poll", metavar="ID", help="The poll that its votes are of.")
    ] = "",
    comments: Annotated[
        bool, typer.Option("--comments", help="It holds comments, not votes.")
    ] = False,
    column: Annotated[
        list[str] | None,
        typer.Option("--column", metavar="NAME=MEANING", help="Say what one column is."),
    ] = None,
    where: Annotated[
        str, typer.Option("--where", metavar="TEXT", help="Where the comments were written.")
    ] = "",
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Leave out rows that cannot be read.")
    ] = False,
    today: Today = None,
) -> None:
    """Take votes or comments from another program's export into the line; twice is once."""
    from sixwright.cli.collect import run_collect
    from sixwright.importer.voices.into_line import VoicesImport

    said = pairs(column or ())
    table = "comments" if comments else "votes"
    wanted = VoicesImport(file, table, poll, said, where, anyway)
    run_collect(folder, wanted, clock=clock_at(today))


@app.command(name="voters-key")
def voters_key_(
    phrase: Annotated[
        list[str] | None, typer.Argument(metavar="WORDS", help="The phrase of another computer.")
    ] = None,
) -> None:
    """Show the phrase that gives voters the same hashes on another computer, or enter it there."""
    from sixwright.cli.collect import run_voters_key

    run_voters_key(" ".join(phrase or ()))


@app.command()
def schema() -> None:
    """Print the JSON Schema of line.toml, so that editors help."""
    from sixwright.storage.json_schema import schema_text

    typer.echo(schema_text().rstrip())


def main(arguments: list[str] | None = None) -> NoReturn:
    """Run the command and end with its exit status: 0, 1, 2, 3 or 4."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    # A line is read into many small lasting objects: looking them through for circles every few
    # hundred new ones costs a third of the time at 5,000 parts (docs/benchmarks.md).
    gc.set_threshold(100_000, 50, 100)
    sys.exit(_status(arguments))


def _status(arguments: list[str] | None) -> int:
    try:
        return int(app(args=arguments, standalone_mode=False) or HOLDS)
    except FolderError as error:
        from sixwright.cli.complain import complain

        complain(error.problems, error.what)
        return UNREADABLE
    except (ChangeError, ConflictError, BusyError, DiskError) as error:
        _say(f"Nothing was written. {error}")
        return UNREADABLE
    except (CallError, InputError) as error:
        _say(str(error))
        return CALLED_WRONGLY
    except KeyboardInterrupt:
        return HOLDS
    except Exception as error:  # noqa: BLE001 - the last resort, so that no traceback is shown
        return _last_resort(error)


def _last_resort(error: Exception) -> int:
    """Usage errors of the command line, which know how to show themselves; then our own faults."""
    show = getattr(error, "show", None)
    if callable(show):
        show()
        return CALLED_WRONGLY
    if isinstance(error, typer.Abort):
        return CALLED_WRONGLY
    if os.environ.get("SIXWRIGHT_DEBUG"):
        raise error
    kind = "" if isinstance(error, SixwrightError) else f"{type(error).__name__}: "
    _say(f"Something went wrong in sixwright itself ({kind}{error}). Your folder is as it was.")
    _say("To see where, set SIXWRIGHT_DEBUG=1 and run the same command again.")
    return OUR_FAULT


def _say(text: str) -> None:
    typer.echo(text, err=True)
