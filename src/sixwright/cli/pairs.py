"""Options of the form NAME=VALUE."""

from collections.abc import Sequence

from sixwright.kernel.errors import CallError


def pairs(options: Sequence[str]) -> dict[str, str]:
    """Name and value of each; the name may hold ``=``, the value not.

    Raises
    ------
    CallError
        If one is of another form.
    """
    found: dict[str, str] = {}
    for option in options:
        name, equals, value = option.rpartition("=")
        if not (equals and name.strip() and value.strip()):
            raise CallError(f"--column must be NAME=MEANING; received {option!r}.")
        found[name.strip()] = value.strip()
    return found
