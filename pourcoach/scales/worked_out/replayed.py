"""A recording in a scale's place: ``tape:FILE?speed=2``."""

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path
from types import TracebackType
from typing import Self

from pourcoach.domain.inputs import Link, Reading
from pourcoach.recordings.tape import Tape, read_tape
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.scale import Now


class ReplayedScale:
    """Gives a tape's readings and link changes, with their own times, when they are due.

    ``now`` is expected to run at the address's ``speed``; other inputs on the tape (tares,
    notes) belong to that brew and are left out.
    """

    def __init__(self, address: ScaleAddress, now: Now) -> None:
        address.only("speed")
        self._address = address
        self._speed = address.speed
        self._now = now
        self._tape: Tape | None = None

    @property
    def address(self) -> str:
        return str(self._address)

    async def __aenter__(self) -> Self:
        """Raises WorkError where the file is no tape."""
        self._tape = read_tape(Path(self._address.target))
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._tape = None

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        for item in self._tape.inputs if self._tape is not None else ():
            if isinstance(item, Reading | Link):
                due_s = item.t_s - self._now()
                if due_s > 0:
                    await asyncio.sleep(due_s / self._speed)
                yield item

    async def tare(self) -> bool:
        """A recording takes no commands."""
        return False
