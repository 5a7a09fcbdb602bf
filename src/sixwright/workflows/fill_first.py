"""Which missing cells to fill in first: those that would decide the most."""

from collections.abc import Iterable
from dataclasses import dataclass

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.project.tables import BY_NAME


@dataclass(frozen=True, slots=True)
class Lack:
    """A cell of the folder that is missing.

    Attributes
    ----------
    table, id, column
        The cell; of a price that has no row yet, `id` is its way's.
    decides
        Ids of the findings that lack this cell alone: it decides them.
    rests
        Ids of all findings that lack it.
    """

    table: str
    id: str
    column: str
    decides: tuple[str, ...]
    rests: tuple[str, ...]

    @property
    def place(self) -> str:
        """As findings name it: ``table/id/column``."""
        return f"{self.table}/{self.id}/{self.column}"


def fill_first(findings: Iterable[Finding]) -> tuple[Lack, ...]:
    """The missing cells, those first that bring the most checks nearest to a verdict.

    A check that lacks five cells counts a fifth for each of them.

    Parameters
    ----------
    findings
        Those that need the producer.

    Source
    ------
    Own choice: docs/pages.md. Of cells that are alike, the one that is met first comes first.
    """
    decides: dict[str, list[str]] = {}
    rests: dict[str, list[str]] = {}
    shares: dict[str, list[float]] = {}
    for finding in findings:
        cells = [place for place in finding.missing if _cell(place) is not None]
        for place in cells:
            rests.setdefault(place, []).append(finding.id)
            shares.setdefault(place, []).append(1 / len(cells))
            if len(finding.missing) == 1 and finding.verdict is Verdict.UNCHECKED:
                decides.setdefault(place, []).append(finding.id)
    order = sorted(rests, key=lambda place: -round(sum(shares[place]), 9))
    return tuple(
        Lack(*cell, tuple(decides.get(place, ())), tuple(rests[place]))
        for place in order
        if (cell := _cell(place)) is not None
    )


def _cell(place: str) -> tuple[str, str, str] | None:
    """Table, row and column of a missing input; None where it is no cell of a table."""
    table, _, rest = place.partition("/")
    id_, _, column = rest.rpartition("/")
    known = BY_NAME.get(table)
    if known is None or not id_ or all(each.name != column for each in known.columns):
        return None
    return table, id_, column
