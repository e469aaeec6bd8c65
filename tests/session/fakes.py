"""A scale that gives what it is given, at once or when the clock says so."""

import asyncio
from collections.abc import AsyncIterator, Sequence
from types import TracebackType
from typing import Self

from pourcoach.domain.inputs import Link, Reading


class FakeScale:
    """Gives ``items`` one after another, then waits for ever, or ends where ``ends`` is set."""

    def __init__(
        self,
        items: Sequence[Reading | Link | Exception],
        *,
        ends: bool = True,
        tares: bool = False,
        paced_s: float | None = None,
    ) -> None:
        """``paced_s``: the pause before each item; without one they come all at once."""
        self.address = "fake:"
        self.items = items
        self.ends = ends
        self.tares = tares
        self.paced_s = paced_s
        self.open = False

    async def __aenter__(self) -> Self:
        self.open = True
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.open = False

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        for item in self.items:
            if isinstance(item, Exception):
                raise item
            if self.paced_s is not None:
                await asyncio.sleep(self.paced_s)
            yield item
        if not self.ends:
            await asyncio.Event().wait()

    async def tare(self) -> bool:
        return self.tares
