"""Answers that take seconds, worked out one at a time, in a process of its own, as pages go on.

What was asked last is worked out next: an answer to inputs that nobody has any more is not begun.
"""

import logging
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Condition, Thread
from typing import TypeVar, cast

from sixwright.kernel.errors import StoppedError
from sixwright.storage.durations import Durations, Stopwatch
from sixwright.web.beside import STOPPED, Beside

T = TypeVar("T")
# So many answers of a topic are kept in memory: the line as it is, and as it was some edits ago.
MOST_KEPT = 4
# An answer from the cache on disk is there within a moment; waiting for it spares a page that says
# "being worked out" and nothing else. One that stands in a queue is not waited for.
WAIT_S = 0.1

_Make = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far an answer is.

    Attributes
    ----------
    so_far_s
        For how long it has been worked out, s; None while it waits for another one.
    last_s
        How long that topic's last answer took, s; None where that is not known.
    """

    so_far_s: float | None
    last_s: float | None


class Background:
    """Works out answers beside the pages; is a `Later`.

    Parameters
    ----------
    done
        Is called, on a thread of its own, when an answer has come.
    durations
        How long answers took, kept from one server to the next.
    """

    def __init__(self, done: Callable[[], None], durations: Durations) -> None:
        self._done = done
        self._beside = Beside()
        self._changed = Condition()
        self._known: dict[str, list[tuple[object, object]]] = {}
        self._wanted: OrderedDict[str, tuple[object, _Make]] = OrderedDict()
        self._running: dict[str, object] = {}
        self._stopped: dict[str, object] = {}
        self._watches: dict[str, Stopwatch] = {}
        self._durations = durations
        self._thread: Thread | None = None

    def __call__(self, name: str, inputs: object, make: Callable[[], T], /) -> T | None:
        """The answer of `make` where it is known by now; else None, and it is under way.

        Raises
        ------
        StoppedError
            If it was stopped for these inputs and nobody went on with it.
        Exception
            What `make` raised for these inputs.
        """
        with self._changed:
            is_stopped = name in self._stopped and self._stopped[name] == inputs
            if is_stopped and not self._is_known(name, inputs):
                raise StoppedError(STOPPED)
            if not self._is_known(name, inputs) and not self._is_under_way(name, inputs):
                is_next = not self._running and not self._wanted
                self._wanted[name] = (inputs, make)
                self._start()
                self._changed.notify_all()
                if is_next:
                    self._changed.wait_for(lambda: self._is_known(name, inputs), WAIT_S)
            found = self._find(name, inputs)
        if isinstance(found, _Failed):
            raise found.error
        return cast("T | None", found)

    def progress(self) -> dict[str, Progress]:
        """How far the answers that are under way or wanted are, by topic."""
        with self._changed:
            going = {name: self._watches[name].seconds() for name in self._running}
            return {
                name: Progress(going.get(name), self._durations.get(name))
                for name in (*self._running, *self._wanted)
            }

    def stop(self, name: str) -> bool:
        """Stop a topic's answer for the inputs that it has now; whether there was one."""
        with self._changed:
            if name in self._wanted:
                self._stopped[name] = self._wanted.pop(name)[0]
                return True
            if name not in self._running:
                return False
            self._stopped[name] = self._running[name]
            self._beside.stop()
            return True

    def go_on(self, name: str = "") -> None:
        """Let what was stopped be asked for again: one topic, or all of them."""
        with self._changed:
            for each in [name] if name else [*self._stopped]:
                self._stopped.pop(each, None)

    def wait(self, seconds: float) -> bool:
        """Wait until everything is worked out and told; whether it is."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._wanted and not self._running, seconds)

    def _is_known(self, name: str, inputs: object) -> bool:
        return any(known == inputs for known, _ in self._known.get(name, ()))

    def _is_under_way(self, name: str, inputs: object) -> bool:
        wanted = self._wanted.get(name)
        return self._running.get(name) == inputs or (wanted is not None and wanted[0] == inputs)

    def _find(self, name: str, inputs: object) -> object:
        answers = (answer for known, answer in self._known.get(name, ()) if known == inputs)
        return next(answers, None)

    def _start(self) -> None:
        if self._thread is None or not self._thread.is_alive():
            self._thread = Thread(target=self._work, name="answers", daemon=True)
            self._thread.start()

    def _work(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: bool(self._wanted))
                name, (inputs, make) = self._wanted.popitem(last=False)
                self._running[name] = inputs
                self._watches[name] = Stopwatch()
            try:
                answer = self._beside(make)
            except StoppedError:
                answer = None
            except Exception as error:  # noqa: BLE001  told where it is asked for
                answer = _Failed(error)
            with self._changed:
                if answer is not None:
                    self._durations.put(name, self._watches[name].seconds())
                    kept = self._known.setdefault(name, [])
                    kept.insert(0, (inputs, answer))
                    del kept[MOST_KEPT:]
                self._changed.notify_all()
            try:
                self._done()
            except Exception:
                logging.getLogger(__name__).exception("A new answer could not be shown.")
            with self._changed:
                del self._running[name]
                self._changed.notify_all()


class _Failed:
    """What came instead of an answer."""

    def __init__(self, error: Exception) -> None:
        self.error = error
