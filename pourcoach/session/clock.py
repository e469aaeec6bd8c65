"""The only clock of the program. Everything else is given the time."""

import asyncio
import time

from pourcoach.domain.units import Seconds


class Clock:
    """Seconds since it was made, running ``speed`` times as fast as the wall's."""

    def __init__(self, speed: float = 1.0) -> None:
        # perf_counter: monotonic's steps are 15 ms on some systems.
        self._origin_s = time.perf_counter()
        self.speed = speed

    def now(self) -> Seconds:
        """Since the clock was made."""
        return (time.perf_counter() - self._origin_s) * self.speed

    def real_s(self, span_s: Seconds) -> Seconds:
        """How long ``span_s`` of this clock takes on the wall's."""
        return span_s / self.speed

    async def sleep(self, span_s: Seconds) -> None:
        """Wait for ``span_s`` of this clock."""
        await asyncio.sleep(self.real_s(span_s))
