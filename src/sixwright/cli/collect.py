"""`sixwright collect` and `sixwright voters-key`: what the public said, and who they are to us."""

import getpass
from pathlib import Path

import typer

from sixwright.importer.voices.columns import MEANINGS, NOTHING, OPTION
from sixwright.importer.voices.into_line import Outcome, VoicesImport, take_in
from sixwright.importer.voices.people import key_of, phrase_of
from sixwright.kernel.protocols import Clock
from sixwright.storage.folder import read
from sixwright.storage.voters_key import keep_key, voters_key


def run_collect(folder: Path, wanted: VoicesImport, *, clock: Clock) -> None:
    """Take an export in, and say what became of its columns and rows."""
    outcome = take_in(read(folder), wanted, who=getpass.getuser(), clock=clock)
    for name, meaning in outcome.columns.means.items():
        typer.echo(f"“{name}” was taken for {_said(wanted.table, meaning)}.")
    for line in _told(wanted, outcome):
        typer.echo(line)


def _said(table: str, meaning: str) -> str:
    if meaning == NOTHING:
        return "nothing, and left out"
    if meaning.startswith(OPTION):
        return f"the answers to “{meaning.removeprefix(OPTION)}”"
    return MEANINGS[table][meaning]


def _told(wanted: VoicesImport, outcome: Outcome) -> list[str]:
    one = "vote" if wanted.table == "votes" else "comment"
    told = [f"{_count(outcome.new, one)} taken in from {wanted.file.name}."]
    if not outcome.new:
        told = [f"Nothing new in {wanted.file.name}; nothing was written."]
    if outcome.known:
        told.append(f"{_count(outcome.known, one)} there already.")
    if outcome.taken.repeated:
        told.append(f"{_count(outcome.taken.repeated, 'row')} said the same as another.")
    if outcome.taken.empty:
        told.append(f"{_count(outcome.taken.empty, 'row')} empty.")
    return [*told, *(f"Left out: {problem}" for problem in outcome.taken.problems)]


def _count(count: int, one: str) -> str:
    return f"{count} {one} was" if count == 1 else f"{count} {one}s were"


def run_voters_key(phrase: str) -> None:
    """Show the phrase of the key, or keep the key of a phrase."""
    if phrase:
        keep_key(key_of(phrase))
        typer.echo("From now on voters get the hashes that they have on the other computer.")
        return
    typer.echo(phrase_of(voters_key()))
    typer.echo("Whoever has these words can try names against your votes. Enter them on another")
    typer.echo("computer with: sixwright voters-key WORDS")
