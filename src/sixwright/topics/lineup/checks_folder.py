"""Files and columns that are not read, and were likely meant to be; what is read needs no word."""

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import exact
from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.line.left_aside import LostColumn, StrayFile
from sixwright.topics.lineup import rules
from sixwright.topics.lineup.doubts import FolderDoubt
from sixwright.topics.lineup.model import Inputs


def findings(inputs: Inputs) -> list[Finding]:
    """One of every such file and column.

    Parameters
    ----------
    inputs
        The line-up.

    Source
    ------
    docs/topics/lineup.md lists the rules.
    """
    return [*map(_stray, inputs.strays), *map(_lost, inputs.lost)]


def _stray(file: StrayFile) -> Finding:
    values: dict[str, Value] = {"file": Name(file.name), "meant": Name(file.meant)}
    if file.is_copy:
        message = Sentence("{file} is not read; {meant} is.", values)
        remedy = Sentence("Compare the two, take over what lacks, and move the copy elsewhere.")
    else:
        message = Sentence("{file} is not read; did you mean {meant}?", values)
        text = "Rename it to {meant}, or move it out of the folder if it is a list of your own."
        if not file.name.lower().endswith(".csv"):
            text = "Save it as CSV, encoding UTF-8, under the name {meant}."
        remedy = Sentence(text, {"meant": values["meant"]})
    return rules.STRAY.finding(
        Subject("file", file.name),
        Evidence(doubt=FolderDoubt.COPY if file.is_copy else FolderDoubt.NOT_READ),
        message,
        remedy=remedy,
        weight=50.0,  # before what may only rest on it
    )


def _lost(lost: LostColumn) -> Finding:
    values: dict[str, Value] = {
        "file": Name(lost.file),
        "column": Name(lost.column),
        "count": Count(
            lost.values, "value that was edited here is", "values that were edited here are"
        ),
        "day": lost.last,
    }
    return rules.LOST.finding(
        Subject("column", f"{lost.table}/{lost.column}"),
        Evidence(
            measured=exact(lost.values),
            missing=(f"{lost.table}/{lost.column}",),
            doubt=FolderDoubt.LOST,
        ),
        Sentence(
            "{file} has no column {column} any more: {count} gone, the last of {day}.", values
        ),
        remedy=Sentence(
            "Put the column back, or go back to a moment before in the history; to do without it, "
            "accept this."
        ),
        weight=float(lost.values),
    )
