"""Why a verdict on money departs from its interval."""

from sixwright.kernel.findings import Doubt
from sixwright.kernel.intervals import Verdict


class MoneyDoubt(Doubt):
    """A reason in words, and the verdict that it leads to."""

    FAR_OFF = ("a decimal mark may have been lost", Verdict.DOUBTFUL)
    GUESS = ("it is a guess, not a quote", Verdict.DOUBTFUL)
    LAST_DAY_PASSED = ("the last day of the quote has passed", Verdict.DOUBTFUL)
    NEVER = ("at no size does the line earn its costs back", Verdict.FAILS)
    LOSS = ("the line loses at the orders assumed", Verdict.FAILS)
    PROFIT_OPEN = ("the profit at the orders assumed may be a loss", Verdict.DOUBTFUL)
