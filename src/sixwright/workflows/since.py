"""What has moved since the line was last looked at: verdicts, and values of the folder."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.project.differences import differences
from sixwright.project.records import Change, Records
from sixwright.workflows.reviewed import Review


@dataclass(frozen=True, slots=True)
class Since:
    """What has moved since a day.

    Attributes
    ----------
    day
        On which it was last looked at.
    worse
        Findings that now need the producer and did not then, worst first.
    settled
        How many findings needed the producer then and hold now, or are gone.
    changes, before, after
        What was changed in the folder, and its rows then and now.
    """

    day: date
    worse: tuple[Finding, ...]
    settled: int
    changes: tuple[Change, ...]
    before: Records
    after: Records


def since(review: Review, *, day: date, verdicts: Mapping[str, str], before: Records) -> Since:
    """What has moved.

    Parameters
    ----------
    verdicts
        Finding id to its verdict then.
    before
        The folder's rows then.
    """
    holds = str(Verdict.HOLDS)
    open_now = [finding for finding in review.findings if finding.verdict is not Verdict.HOLDS]
    worse = tuple(f for f in open_now if verdicts.get(f.id, holds) == holds)
    still = {finding.id for finding in open_now}
    settled = [id_ for id_, was in verdicts.items() if was != holds and id_ not in still]
    after = review.project.records
    return Since(day, worse, len(settled), differences(before, after), before, after)
