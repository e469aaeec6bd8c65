"""One brew or replay as others see it: polled, so that it never waits for them."""

import time
from collections.abc import Sequence
from datetime import UTC, datetime

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.units import Seconds
from pourcoach.session.protocols import PlaybackControls, Session
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import TileFinding, finding_of, tile_of

STALE_S: Seconds = 1.0
"""The fold of a live brew hears of silence after half of it; without any Frame for so long the
program itself is held up."""


class OneBrew:
    """A Board of one station; brews that follow each other take each other's place."""

    notice: str | None = None

    def __init__(self, station: str, *, person: str | None = None, run: str = "") -> None:
        """``person`` is shown to whoever looks; leave it out unless that was asked for."""
        self._station = station
        self._person = person
        self._run = run
        self._session: Session | None = None
        self._running = False
        self._number = 0
        self._newest: Frame | None = None
        self._came_s: Seconds = 0.0

    def show(self, session: Session) -> None:
        """Look at this one from now on."""
        self._session, self._running, self._newest = session, True, None
        self._came_s = time.monotonic()

    def ended(self) -> None:
        """The brew is over: clocks stand still."""
        self._running = False

    def look(self) -> SeenStation:
        """The brew now. May be called from any thread."""
        session = self._session
        if session is None:
            return SeenStation(self._station, TileAge.WAITING)
        newest = session.newest
        now_s = time.monotonic()
        if newest is not self._newest:
            self._newest, self._came_s = newest, now_s
        # A replay may be paused, and has no scale to lose.
        live = self._running and not isinstance(session, PlaybackControls)
        self._number += 1
        tile = tile_of(
            newest,
            session.now(),
            station=self._station,
            at=datetime.now(UTC).isoformat(timespec="milliseconds"),
            running=self._running,
            stale=live and now_s - self._came_s > STALE_S,
            notice=session.notice,
            person=self._person,
            run=self._run,
            number=self._number,
        )
        return SeenStation(self._station, TileAge.LIVE, tile, 0.0, plan_line=plan_line(newest))

    def seen(self) -> Sequence[SeenStation]:
        return (self.look(),)

    def findings(self) -> list[tuple[tuple[FlagKind, str | None], TileFinding]]:
        """All so far, by kind and stage."""
        frame = None if self._session is None else self._session.newest
        if frame is None:
            return []
        return [((flag.kind, flag.stage), finding_of(flag, frame)) for flag in frame.flags]
