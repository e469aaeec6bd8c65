"""A scale under test: its readings as they come, and waiting until a load lies still."""

import asyncio
from collections.abc import Callable, Sequence
from types import TracebackType
from typing import Self

from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Seconds
from pourcoach.scales.scale import Scale
from pourcoach.weighing.figures.rest import LEAST_READINGS, Rest, at_rest, rest_of

# Long enough for a mean of many readings, short enough to be waited for. Common practice.
REST_S: Seconds = 2.0
# A bench on which nothing comes to rest within this needs another place.
PATIENCE_S: Seconds = 60.0
# A scale that is going to send does so within this; a board that resets takes 2 s.
FIRST_WITHIN_S: Seconds = 8.0


class WeighingBench:
    """An async context manager around a scale. All times are the readings' own."""

    def __init__(
        self, scale: Scale, report: Callable[[str], None] | None = None, *, silent: str = ""
    ) -> None:
        """``report`` is called when the scale is lost and when it is back; ``silent`` is the error
        where it opens but sends nothing."""
        self._scale = scale
        self._report = report
        self._silent = silent or "the scale sends no weight"
        self._readings: list[Reading] = []
        self._why = ""
        self._came = asyncio.Event()
        self._taking: asyncio.Task[None] | None = None

    async def __aenter__(self) -> Self:
        """Raises WorkError where the scale cannot be opened."""
        await self._scale.__aenter__()
        self._taking = asyncio.create_task(self._take())
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._taking is not None:
            self._taking.cancel()
            await asyncio.gather(self._taking, return_exceptions=True)
        await self._scale.__aexit__(kind, error, trace)

    async def begin(self) -> None:
        """Wait for the first reading. Raises WorkError where none comes."""
        try:
            async with asyncio.timeout(FIRST_WITHIN_S):
                while not self._readings:
                    await self._next()
        except TimeoutError:
            raise WorkError(self._why or self._silent) from None

    async def rest(self, tolerance: float = 0.0) -> Rest:
        """Figures of the first stretch of REST_S from now on in which the load lies still.

        Raises WorkError where none comes within PATIENCE_S.
        """
        begun = len(self._readings)
        try:
            async with asyncio.timeout(PATIENCE_S):
                while True:
                    await self._next()
                    stretch = self._last(REST_S, begun)
                    if stretch and at_rest(stretch, tolerance):
                        rest = rest_of(stretch)
                        if rest is not None:
                            return rest
        except TimeoutError:
            raise WorkError(
                self._why or "the weight does not come to rest",
                "see that nothing touches the platform and that nothing shakes the table",
            ) from None

    async def listen(self, seconds: Seconds) -> list[Reading]:
        """All readings of the next so many seconds, by their own time of arrival."""
        begun = len(self._readings)
        while True:
            await self._next()
            heard = self._readings[begun:]
            if heard and heard[-1].t_s - heard[0].t_s >= seconds:
                return heard

    def since(self, t_s: Seconds) -> list[Reading]:
        """All readings that arrived at ``t_s`` or later."""
        return [reading for reading in self._readings if reading.t_s >= t_s]

    def _last(self, seconds: Seconds, begun: int) -> Sequence[Reading]:
        """The newest stretch of that length after ``begun``; empty while it is too short."""
        newest_s = self._readings[-1].t_s
        first = len(self._readings)
        while first > begun and newest_s - self._readings[first - 1].t_s <= seconds:
            first -= 1
        stretch = self._readings[first:]
        long_enough = first > begun and len(stretch) >= LEAST_READINGS
        return stretch if long_enough else ()

    async def _next(self) -> None:
        """Wait for something new; raises what ended the scale."""
        self._came.clear()
        if self._taking is not None and self._taking.done():
            self._taking.result()
            raise WorkError("the scale has come to its end", "use a live scale")
        await self._came.wait()

    async def _take(self) -> None:
        try:
            async for item in self._scale:
                if isinstance(item, Reading):
                    self._readings.append(item)
                    self._why = ""
                else:
                    back = item.up and self._why
                    self._why = "" if item.up else item.why
                    words = "The scale is back." if back else item.why
                    if self._report is not None and words:
                        self._report(words)
                self._came.set()
        finally:
            self._came.set()
