"""What a cable and a radio have in common: a way to bytes, which may fail or be lost."""

import asyncio
from collections.abc import Callable, Coroutine
from contextlib import AbstractAsyncContextManager
from typing import Protocol, TypeAlias

from pourcoach.domain.errors import WorkError
from pourcoach.domain.units import Seconds
from pourcoach.scales.dialect import Dialect

OnBytes: TypeAlias = Callable[[bytes, Seconds], None]
"""Called in the event loop with what arrived, and when, on the session's clock."""
OnLost: TypeAlias = Callable[[str], None]
"""Called in the event loop, at most once a connection, with a sentence on why it is gone."""


class NoConnectionError(WorkError):
    """No connection. ``lasting`` where waiting cannot mend it, only the user can."""

    def __init__(self, what: str, remedy: str = "", *, lasting: bool = False) -> None:
        super().__init__(what, remedy)
        self.lasting = lasting


class Connection(Protocol):
    """One open connection."""

    async def write(self, data: bytes) -> None:
        """Send a command. Raises NoConnectionError where it does not go out."""
        ...


class Connector(Protocol):
    """Opens connections to one scale, one at a time, finding it again each time."""

    @property
    def name(self) -> str:
        """For sentences: "the scale on COM3"."""
        ...

    @property
    def silence_remedy(self) -> str:
        """What to do where the connection stands and nothing comes."""
        ...

    @property
    def dialect(self) -> Dialect:
        """How the scale speaks; settled by the time its first bytes arrive."""
        ...

    def open(self, on_bytes: OnBytes, on_lost: OnLost) -> AbstractAsyncContextManager[Connection]:
        """Connect. Raises NoConnectionError, or UsageError where the address itself is wrong.

        Leaving frees everything, also where cancelled at any point.
        """
        ...


async def close_fully(closing: Coroutine[None, None, None], within_s: Seconds) -> None:
    """Run a closing to its end, even where the caller is cancelled meanwhile, up to a time.

    Errors of the closing are ignored: what was to be closed is given up in any case.
    """
    task = asyncio.ensure_future(closing)
    task.add_done_callback(lambda done: done.cancelled() or done.exception())
    try:
        await asyncio.wait({task}, timeout=within_s)
    except asyncio.CancelledError:
        await asyncio.wait({task}, timeout=within_s)
        raise
    finally:
        task.cancel()
