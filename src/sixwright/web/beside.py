"""A process of its own, of low priority, so that a long answer leaves the pages their processor."""

import multiprocessing
import os
import pickle
import signal
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from sixwright.kernel.errors import StoppedError

STOPPED = "This was stopped before it was worked out."
# Of long answers that nobody waits for before a page.
NICENESS = 10


class Beside:
    """Calls functions in one other process, one at a time; is for one thread.

    The process begins with the first call, goes on to the next, and ends with this one.

    Parameters
    ----------
    niceness
        How much it steps back before others (of 19), where the system knows of such a thing.
    """

    def __init__(self, niceness: int = NICENESS) -> None:
        self._niceness = niceness
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._is_stopped = False

    def __call__(self, make: Callable[[], object], /) -> object:
        """What `make` answers.

        It is worked out here where it cannot be sent, where the other process has ended, and
        where it failed there: so an error names its own place.

        Raises
        ------
        StoppedError
            If `stop` was called meanwhile.
        Exception
            What `make` raises.
        """
        self._is_stopped = False
        try:
            work = pickle.dumps(make)
        except (pickle.PicklingError, TypeError, AttributeError):
            return make()
        try:
            answer, failed = self._asked(work)
        except (EOFError, OSError):
            self.end()
            if self._is_stopped:
                raise StoppedError(STOPPED) from None
            return make()
        return make() if failed else answer

    def stop(self) -> None:
        """End what is being worked out; another thread waits for it."""
        self._is_stopped = True
        self.end()

    def there(self, make: Callable[[], object], /) -> object:
        """What `make` answers in the other process, and nowhere else.

        Raises
        ------
        EOFError, OSError
            If the other process ended, or `make` failed there.
        """
        answer, failed = self._asked(pickle.dumps(make))
        if failed:
            raise EOFError
        return answer

    def _asked(self, work: bytes) -> tuple[object, bool]:
        pipe = self._started()
        pipe.send_bytes(work)
        answer, failed = pipe.recv()
        return answer, failed

    def end(self) -> None:
        """End the other process, whatever it is at; two threads may ask at once."""
        process, self._process = self._process, None
        pipe, self._pipe = self._pipe, None
        if process is not None:
            process.kill()
            process.join()
        if pipe is not None:
            pipe.close()

    def _started(self) -> Connection:
        pipe = self._pipe
        if self._process is None or pipe is None:
            spawned = multiprocessing.get_context("spawn")
            pipe, theirs = spawned.Pipe()
            arguments = (theirs, self._niceness)
            process = spawned.Process(target=_serve, args=arguments, daemon=True)
            process.start()
            theirs.close()
            self._process, self._pipe = process, pipe
        return pipe


def _serve(pipe: Connection, niceness: int) -> None:
    """Answer what comes until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the keys that end the server are the server's
    step_back = getattr(os, "nice", None)
    if step_back is not None:
        step_back(niceness)
    with suppress(EOFError, OSError):
        while True:
            work = pipe.recv_bytes()
            try:
                # Only our own process holds the other end: nothing from a folder or the network.
                told = (pickle.loads(work)(), False)  # noqa: S301
            except Exception:  # noqa: BLE001  worked out again where it can be told
                told = (None, True)
            pipe.send(told)
