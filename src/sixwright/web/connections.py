"""How long a request may take to arrive, and how many may be under way: uvicorn's own, bounded."""

from asyncio import TimerHandle, Transport, get_running_loop
from typing import Any, cast

from uvicorn.protocols.http.h11_impl import H11Protocol

# Far above what the windows of one producer ask, and below the 256 files that a process may have
# open on some machines.
MOST_CONNECTIONS = 100
# So long may the head of a request take to arrive, in seconds.
HEAD_S = 10.0


class Connection(H11Protocol):
    """A connection that is dropped where no whole request comes, or a newer one needs its place."""

    head_timer: TimerHandle | None = None
    opened: float = 0.0

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
        """Take it in; where all places are taken, the oldest that asks for nothing gives way."""
        super().connection_made(transport)
        self.opened = get_running_loop().time()
        self._await_head()
        if len(self.connections) > MOST_CONNECTIONS:
            there = [cast("Connection", each) for each in self.connections]
            idle = [each for each in there if each is not self and not each.is_answered]
            min(idle, key=lambda each: each.opened, default=self).drop()

    def data_received(self, data: bytes) -> None:
        """Read on; once the head is whole, its time is over."""
        super().data_received(data)
        if self.is_answered:
            self._head_is_there()

    def on_response_complete(self) -> None:
        """Wait for the next request, for as long as for the first."""
        self._await_head()
        super().on_response_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget it."""
        self._head_is_there()
        super().connection_lost(exc)

    @property
    def is_answered(self) -> bool:
        """Whether an answer is being made for it, or taken by who asked."""
        cycle: Any = self.cycle  # None before the first request
        return cycle is not None and not cycle.response_complete and not self.flow.write_paused

    def drop(self) -> None:
        """End it at once."""
        self.connections.discard(self)
        self.transport.abort()

    def _await_head(self) -> None:
        self._head_is_there()
        self.head_timer = get_running_loop().call_later(HEAD_S, self.drop)

    def _head_is_there(self) -> None:
        if self.head_timer is not None:
            self.head_timer.cancel()
            self.head_timer = None
