"""One thread of linear algebra, for the whole process and for good."""

from functools import cache

from threadpoolctl import threadpool_limits


@cache
def one_thread() -> None:
    """Let linear algebra use one thread from now on; once a process.

    Raises
    ------
    RuntimeError
        If the libraries' threads cannot be counted.

    Source
    ------
    Matrices here are a few hundred rows, for which several threads only wait for each other (22 ms
    instead of 0.6 on a busy machine), and one makes the same digits everywhere. The limit is the
    process's: set and taken back by requests that overlap, one would compute under another's, and
    the last to end could leave it behind.
    """
    threadpool_limits(limits=1)
