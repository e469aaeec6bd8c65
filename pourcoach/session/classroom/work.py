"""What is done at a station: one brew, or one pour of a drill, from its beginning to its end."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.session.live import LiveBrew
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import tile_of

BREWING = (Phase.POURING, Phase.WAITING, Phase.DRAINING)


@dataclass(frozen=True, slots=True)
class Done:
    """One brew, or one pour of a drill, that is over."""

    recording: Path
    last: Frame
    """Its last Frame, refined where it came to its end."""
    drilled: str | None = None
    """What came of a pour of a drill, in a sentence; None for a brew."""


class Work(Protocol):
    """One brew, or one pour of a drill. ``curve`` grows by what may be seen of it."""

    curve: StationCurve

    @property
    def brewing(self) -> bool:
        """Whether water has come and it is not over."""
        ...

    @property
    def asks(self) -> bool:
        """Whether an estimate is waited for."""
        ...

    @property
    def trouble(self) -> str | None:
        """What keeps it from being kept, in a sentence."""
        ...

    async def run(self, hear: Callable[[Frame], None]) -> None:
        """To its end; ``hear`` is given each Frame that may be seen. Errors as a session's."""
        ...

    def seen(self, station: str, person: str | None, number: int, *, running: bool) -> SeenStation:
        """As a wall shows it now; ``number`` counts the looks."""
        ...

    def done(self) -> Done | None:
        """What it came to, once it has run; None where nothing was recorded."""
        ...

    def tare(self) -> None: ...

    def finish(self) -> None:
        """End it and keep it; what has not begun stays ready."""
        ...

    def note(self, text: str) -> None: ...

    def estimate(self, value: float) -> None:
        """What the student thinks they poured."""
        ...

    def stop(self) -> None:
        """Save what there is and let the scale go."""
        ...


class BrewWork:
    """A brew."""

    asks = False

    def __init__(self, brew: LiveBrew) -> None:
        self.brew = brew
        self.curve = StationCurve()
        self._frame_real_s = 0.0

    @property
    def brewing(self) -> bool:
        newest = self.brew.session.newest
        return newest is not None and newest.pour.phase in BREWING

    @property
    def trouble(self) -> str | None:
        return self.brew.session.trouble

    async def run(self, hear: Callable[[Frame], None]) -> None:
        def on_frame(frame: Frame) -> None:
            self._frame_real_s = time.monotonic()
            grow_by_frame(self.curve, frame)
            hear(frame)

        await self.brew.session.run(on_frame)

    def seen(self, station: str, person: str | None, number: int, *, running: bool) -> SeenStation:
        session = self.brew.session
        tile = tile_of(
            session.newest,
            session.now(),
            station=station,
            at=datetime.now(UTC).isoformat(timespec="milliseconds"),
            running=running,
            notice=session.notice,
            person=person,
            number=number,
        )
        age_s: Seconds | None = time.monotonic() - self._frame_real_s if running else None
        line = plan_line(session.newest)
        return SeenStation(station, TileAge.LIVE, tile, age_s, plan_line=line)

    def done(self) -> Done | None:
        kept, last = self.brew.session.recording, self.brew.session.newest
        return None if kept is None or last is None else Done(kept, last)

    def tare(self) -> None:
        self.brew.session.tare()

    def finish(self) -> None:
        if self.brewing:
            self.brew.session.finish()

    def note(self, text: str) -> None:
        self.brew.session.note(text)

    def estimate(self, value: float) -> None:
        """Nothing is estimated in a brew."""

    def stop(self) -> None:
        self.brew.session.stop()


def grow_by_frame(curve: StationCurve, frame: Frame) -> None:
    """Let a curve grow by what a Frame shows."""
    pour = frame.pour
    curve.plan = pour.plan
    curve.add(pour.brew_s, frame.weight_g, pour.off_g, over=pour.phase is Phase.DONE)
