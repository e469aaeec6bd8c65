"""One station of a class: brew after brew on one scale, whatever happens to the others."""

import asyncio
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.printable import printable
from pourcoach.session.live import LiveBrew
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import tile_of

BREWING = (Phase.POURING, Phase.WAITING, Phase.DRAINING)
# A program fault, in a sentence that is no traceback.
LONGEST_FAULT = 200


@dataclass(frozen=True, slots=True)
class Done:
    """One brew that is over."""

    recording: Path
    last: Frame
    """Its last Frame, refined where it came to its end."""


class Station:
    """What is asked of it acts on the brew under way, if there is one."""

    def __init__(
        self,
        name: str,
        make: Callable[[], LiveBrew],
        *,
        person: str | None = None,
        group: str | None = None,
        on_frame: Callable[["Station", Frame], None] | None = None,
        on_over: Callable[["Station"], None] | None = None,
    ) -> None:
        """``make`` puts a new brew together; it may block and is called in a thread. ``on_frame``
        hears every Frame, ``on_over`` of each brew's end.
        """
        self.name = name
        self.person = person
        self.group = group
        self.trouble: str | None = None
        """What ended the last brew before its time, or kept it from being recorded."""
        self.done: list[Done] = []
        """All brews that are over, oldest first."""
        self.curve = StationCurve()
        """Of the brew that is seen."""
        self._make = make
        self._on_frame = on_frame
        self._on_over = on_over
        self._brew: LiveBrew | None = None
        self._running = False
        self._number = 0
        self._frame_real_s = 0.0

    @property
    def running(self) -> bool:
        """Whether a brew is under way, or one is being put together."""
        return self._running

    @property
    def brewing(self) -> bool:
        """Whether water has come and the brew is not over."""
        newest = None if self._brew is None else self._brew.session.newest
        return self._running and newest is not None and newest.pour.phase in BREWING

    async def brew(self) -> None:
        """One brew from its beginning to its end. Whatever goes wrong is reported in
        ``trouble``."""
        if self._running:
            return
        self._running = True
        self.trouble = None
        try:
            self._brew = None
            self._brew = brew = await asyncio.to_thread(self._make)
            await brew.session.run(self._hear)
            self.trouble = brew.session.trouble
        except PourcoachError as error:
            self.trouble = str(error)
        except Exception as error:  # one station's fault is never another's
            self.trouble = printable(
                f"a fault of the program ended it: {type(error).__name__}: {error}", LONGEST_FAULT
            )
        finally:
            self._running = False
            self._put_down()
            if self._on_over is not None:
                self._on_over(self)

    def _put_down(self) -> None:
        if self._brew is not None:
            kept, last = self._brew.session.recording, self._brew.session.newest
            if kept is not None and last is not None:
                self.done.append(Done(kept, last))

    def main(self) -> None:
        """Begin, where the scale waits for the first water."""
        if self._running and self._brew is not None:
            self._brew.session.main()

    def tare(self) -> None:
        if self._running and self._brew is not None:
            self._brew.session.tare()

    def finish(self) -> None:
        """End the brew and keep it; a brew that has not begun stays ready."""
        if self.brewing and self._brew is not None:
            self._brew.session.finish()

    def note(self, text: str) -> None:
        if self._running and self._brew is not None:
            self._brew.session.note(text)

    def stop(self) -> None:
        """Save what there is and let the scale go."""
        if self._brew is not None:
            self._brew.session.stop()

    def seen(self) -> SeenStation:
        """As a wall shows it now."""
        brew = self._brew
        if brew is None:
            return SeenStation(self.name, TileAge.WAITING, trouble=self.trouble)
        session = brew.session
        self._number += 1
        tile = tile_of(
            session.newest,
            session.now(),
            station=self.name,
            at=datetime.now(UTC).isoformat(timespec="milliseconds"),
            running=self._running,
            notice=session.notice,
            person=self.person,
            number=self._number,
        )
        age_s = time.monotonic() - self._frame_real_s if self._running else None
        line = plan_line(session.newest)
        return SeenStation(self.name, TileAge.LIVE, tile, age_s, self.trouble, line)

    def _hear(self, frame: Frame) -> None:
        self._frame_real_s = time.monotonic()
        pour = frame.pour
        self.curve.plan = pour.plan
        over = pour.phase is Phase.DONE
        self.curve.add(pour.brew_s, frame.weight_g, pour.off_g, over=over)
        if self._on_frame is not None:
            self._on_frame(self, frame)
