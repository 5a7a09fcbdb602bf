"""`sixwright check`: the review in sentences, or as data."""

import json
import os
import sys
from collections.abc import Mapping
from datetime import date
from importlib.metadata import version
from pathlib import Path

from sixwright.cli.clock import clock_at
from sixwright.kernel.errors import FolderError
from sixwright.kernel.intervals import Verdict
from sixwright.topics.voices.topic import VOICES
from sixwright.workflows.review import review, with_needs
from sixwright.workflows.reviewed import Review
from sixwright.workflows.topics import BY_ID

HOLDS, FAILS, UNREADABLE = 0, 1, 3
BAD = frozenset({Verdict.FAILS})
BAD_IF_STRICT = frozenset({Verdict.FAILS, Verdict.DOUBTFUL, Verdict.UNCHECKED})


def run_check(
    folder: Path, topics: tuple[str, ...], *, as_json: bool, strict: bool, today: str | None
) -> int:
    """Check a folder, print the outcome, and give the exit status."""
    from sixwright.storage.folder import read
    from sixwright.storage.tools import tools_for

    day = clock_at(today)().date()
    known = [topic for topic in topics if topic in BY_ID]
    try:
        found = read(folder, large=len(known) < len(topics) or VOICES.id in with_needs(known))
    except FolderError as error:
        if not as_json:
            raise
        return _errors_as_json(error, day)
    judged = review(found.project, today=day, only=topics, tools=tools_for(folder))
    if as_json:
        _print_json(judged, found.inputs)
    else:
        _print_text(judged, topics)
    return status(judged, strict=strict)


def status(judged: Review, *, strict: bool) -> int:
    """0 where nothing fails; accepting a finding does not change it."""
    bad = BAD_IF_STRICT if strict else BAD
    return FAILS if any(judged.counts[verdict] for verdict in bad) else HOLDS


def _print_text(judged: Review, topics: tuple[str, ...]) -> None:
    from sixwright.reports.prompt.text import is_styled, review_text

    styled = is_styled(sys.stdout, os.environ)
    sys.stdout.write(review_text(judged, topics, styled=styled))


def _print_json(judged: Review, inputs: Mapping[str, str]) -> None:
    from sixwright.reports.as_json.review import check_json

    _dump(check_json(judged, version=version("sixwright"), inputs=inputs))


def _errors_as_json(error: FolderError, day: date) -> int:
    from sixwright.cli.complain import complain
    from sixwright.reports.as_json.review import errors_json

    complain(error.problems)
    _dump(errors_json(error.problems, version=version("sixwright"), today=day))
    return UNREADABLE


def _dump(value: Mapping[str, object]) -> None:
    json.dump(value, sys.stdout, ensure_ascii=False, indent=2, allow_nan=False)
    sys.stdout.write("\n")
