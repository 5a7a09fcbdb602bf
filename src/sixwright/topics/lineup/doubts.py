"""Why a verdict on what a folder holds departs from its interval."""

from sixwright.kernel.findings import Doubt
from sixwright.kernel.intervals import Verdict


class FolderDoubt(Doubt):
    """A reason in words, and the verdict that it leads to."""

    NOT_READ = ("a table seems to lie there under another name", Verdict.UNCHECKED)
    COPY = ("it may contain what the table lacks", Verdict.DOUBTFUL)
    LOST = ("values that were there are gone", Verdict.UNCHECKED)
