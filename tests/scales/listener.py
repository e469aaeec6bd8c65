"""Hears a scale for a test, and counts what the process holds."""

import asyncio
import os
import sys
import threading
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

from pourcoach.domain.inputs import Link, Reading
from pourcoach.scales.link.supervised import Patience
from pourcoach.scales.scale import Scale
from tests.patience import PATIENCE_S

# The real pace would make tests slow; its proportions are kept.
QUICK = Patience(
    first_wait_s=0.02, longest_wait_s=0.2, proven_s=0.5, grace_s=0.4, silence_s=0.3, entry_s=1.0
)


class Listener:
    """Collects what a scale gives, and waits for what a test expects."""

    def __init__(self, scale: Scale) -> None:
        self.scale = scale
        self.items: list[Reading | Link] = []
        self._changed = asyncio.Event()

    async def listen(self) -> None:
        async for item in self.scale:
            self.items.append(item)
            self._changed.set()

    @property
    def grams(self) -> list[float]:
        return [item.grams for item in self.items if isinstance(item, Reading)]

    @property
    def links(self) -> list[Link]:
        return [item for item in self.items if isinstance(item, Link)]

    async def until(self, met: Callable[["Listener"], bool]) -> None:
        async with asyncio.timeout(PATIENCE_S):
            while not met(self):
                self._changed.clear()
                await self._changed.wait()


@asynccontextmanager
async def listening(scale: Scale) -> AsyncIterator[Listener]:
    async with scale:
        listener = Listener(scale)
        task = asyncio.create_task(listener.listen())
        try:
            yield listener
        finally:
            task.cancel()
            await asyncio.gather(task, return_exceptions=True)


def open_descriptors() -> int:
    """How many this process holds; only the difference counts."""
    return len(os.listdir("/proc/self/fd" if sys.platform == "linux" else "/dev/fd"))


def serial_threads() -> list[str]:
    return [thread.name for thread in threading.enumerate() if thread.name.startswith("serial ")]


def now() -> float:
    return time.perf_counter()
