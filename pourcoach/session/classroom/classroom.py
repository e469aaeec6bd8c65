"""All stations of one machine: run beside each other, asked one by one or all at once."""

import asyncio
from collections.abc import Iterable, Sequence

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Seconds
from pourcoach.session.classroom.station import Station
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation

# A scale that does not let go by then is left; its tape is written as it goes.
STOP_WITHIN_S: Seconds = 5.0


class Classroom:
    """A Board of this machine's own stations."""

    notice: str | None = None

    def __init__(self, stations: Sequence[Station]) -> None:
        """Raises UsageError where there is none, or two have one name."""
        names = [station.name for station in stations]
        if not names:
            raise UsageError("the class has no station", "give --station NAME=ADDRESS")
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise UsageError(f"two stations are called {twice!r}", "give each a name of its own")
        self.stations = tuple(stations)
        self._tasks: set[asyncio.Task[None]] = set()

    def seen(self) -> tuple[SeenStation, ...]:
        return tuple(station.seen() for station in self.stations)

    def curve(self, name: str) -> StationCurve | None:
        return next((each.curve for each in self.stations if each.name == name), None)

    def start(self, name: str | None = None) -> None:
        """A new brew on the station of that name, or on all, where none is under way. Needs a
        running loop."""
        for station in self._named(name):
            if not station.running:
                task = asyncio.create_task(station.brew())
                self._tasks.add(task)
                task.add_done_callback(self._tasks.discard)

    def finish(self, name: str | None = None) -> None:
        """End the brews of one or all; see ``Station.finish``."""
        for station in self._named(name):
            station.finish()

    def tare(self, name: str | None = None) -> None:
        for station in self._named(name):
            station.tare()

    def turn(self, name: str | None = None) -> None:
        """The next task of one or all; see ``Station.turn``."""
        for station in self._named(name):
            station.turn()

    def asks(self, name: str) -> bool:
        """Whether an estimate is waited for at the station of that name."""
        return any(station.asks for station in self._named(name))

    def estimate(self, value: float, name: str) -> None:
        """What the student at that station thinks they poured."""
        for station in self._named(name):
            station.estimate(value)

    def note(self, text: str, name: str | None = None) -> None:
        """The same note on the recording of one or all."""
        for station in self._named(name):
            station.note(text)

    @property
    def running(self) -> bool:
        """Whether any brew is under way."""
        return bool(self._tasks)

    @property
    def brewing(self) -> bool:
        """Whether water has come anywhere, with the brew not over."""
        return any(station.brewing for station in self.stations)

    async def over(self) -> None:
        """Wait until no brew is under way."""
        while self._tasks:
            await asyncio.wait(self._tasks)

    async def close(self) -> None:
        """Save all brews under way and let all scales go."""
        for station in self.stations:
            station.stop()
        if self._tasks:
            _, late = await asyncio.wait(set(self._tasks), timeout=STOP_WITHIN_S)
            for task in late:
                task.cancel()
            await asyncio.gather(*late, return_exceptions=True)

    def _named(self, name: str | None) -> Iterable[Station]:
        return [each for each in self.stations if name is None or each.name == name]
