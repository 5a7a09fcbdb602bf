"""Files that a spreadsheet program saved in the manner of another locale: said once, not a cell."""

import re
from collections.abc import Sequence

from sixwright.kernel.errors import Problem

# Fewer cells than this are said one by one: slips of the hand, not a program's manner.
AT_LEAST = 3
_COMMA = re.compile(r"“[^“”\d]*\d[\d.'’ \u00a0\u202f]*,\d+\D{0,12}”")
_POINT = re.compile(r"“[^“”\d]*\d[\d,'’ \u00a0\u202f]*\.\d+\D{0,12}”")
_TURNED = re.compile(r"“\d{1,2}[./-]\d{1,2}[./-]\d{4}”")


def summed_up(problems: Sequence[Problem], *, locale: str, comma: bool) -> list[Problem]:
    """The problems, those of one manner as one.

    Parameters
    ----------
    locale
        The line's.
    comma
        Whether it writes a decimal comma.

    Returns
    -------
    list of Problem
        At the place of the first of a manner, one that names the manner and the way out.
    """
    dates = [each for each in problems if _is_of(each, _TURNED)]
    mark = [each for each in problems if _is_of(each, _POINT if comma else _COMMA)
            and each not in dates]  # fmt: skip
    found = list(problems)
    for alike, expected in (
        (mark, _with_comma(locale) if comma else _with_point(locale)),
        (dates, "dates as 2027-03-31 (year, month, day); a day first can be read in two ways"),
    ):
        if len(alike) >= AT_LEAST:
            at = found.index(alike[0])
            found = [each for each in found if each not in alike]
            found.insert(at, _one(alike, expected))
    return found


def _with_point(locale: str) -> str:
    return (
        f"numbers with a decimal point, as the line’s locale {locale} writes them; or the line "
        'locale = "de-DE" in line.toml, or another locale that writes a decimal comma'
    )


def _with_comma(locale: str) -> str:
    return (
        f"numbers with a decimal comma, as the line’s locale {locale} writes them; or the line "
        'locale = "en-GB" in line.toml, or another locale that writes a decimal point'
    )


def _is_of(problem: Problem, manner: re.Pattern[str]) -> bool:
    is_table = problem.file.endswith(".csv") and problem.row is not None
    return is_table and manner.fullmatch(problem.found) is not None


def _one(alike: Sequence[Problem], expected: str) -> Problem:
    first = alike[0]
    files = tuple(dict.fromkeys(problem.file for problem in alike))
    where = "" if len(files) == 1 else f" in {', '.join(files)}"
    found = f"{first.found} and {len(alike) - 1} more like it{where}"
    return Problem(first.file, expected, found, first.row, first.column)
