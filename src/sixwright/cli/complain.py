"""The errors of a folder on standard error: every one, as readable as the page of them."""

import os
import sys
from collections.abc import Sequence

from sixwright.kernel.errors import UNREADABLE, Problem


def complain(problems: Sequence[Problem], what: str = UNREADABLE) -> None:
    """Print each error with its place, what was expected and what was found."""
    from sixwright.reports.prompt.text import is_styled, problems_text

    styled = is_styled(sys.stderr, os.environ)
    sys.stderr.write(problems_text(problems, styled=styled, what=what))
