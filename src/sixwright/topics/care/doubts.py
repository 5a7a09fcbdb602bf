"""Why a verdict on what can hurt departs from its interval."""

from sixwright.kernel.findings import Doubt
from sixwright.kernel.intervals import Verdict


class CareDoubt(Doubt):
    """A reason in words, and the verdict that it leads to."""

    NAMED = ("its name or its process names something that is not stated", Verdict.DOUBTFUL)
    UNTESTED = ("no test by an accredited laboratory is recorded", Verdict.UNCHECKED)
