"""One station of a class: brew after brew on one scale, whatever happens to the others."""

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.frame import Frame
from pourcoach.domain.printable import printable
from pourcoach.session.classroom.work import Done, Work
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation, TileAge

# A program fault, in a sentence that is no traceback.
LONGEST_FAULT = 200
ALL_MADE = "All pours of this sitting are made."


@dataclass(frozen=True, slots=True)
class Task:
    """Something to be done at a station, as often as it is started."""

    title: str
    make: Callable[[], Work | None]
    """Puts the next work together, or gives None where there is no more; it may block and is called
    in a thread."""


class Station:
    """What is asked of it acts on the work under way, if there is one."""

    def __init__(
        self,
        name: str,
        tasks: Sequence[Task],
        *,
        person: str | None = None,
        group: str | None = None,
        on_frame: Callable[["Station", Frame], None] | None = None,
        on_over: Callable[["Station"], None] | None = None,
    ) -> None:
        """The first of ``tasks`` is what is done until ``turn`` asks for the next. ``on_frame``
        hears every Frame that may be seen, ``on_over`` of the end of each work.
        """
        self.name = name
        self.person = person
        self.group = group
        self.trouble: str | None = None
        """What ended the last work before its time, or kept it from being recorded."""
        self.done: list[Done] = []
        """All that is over, oldest first."""
        self._tasks = tuple(tasks)
        self._at = 0
        self._remark: str | None = None
        self._on_frame = on_frame
        self._on_over = on_over
        self._shown: Work | None = None
        self._work: Work | None = None
        """What is under way; what is shown may be over, until the next has been put together."""
        self._running = False
        self._number = 0

    @property
    def running(self) -> bool:
        """Whether a work is under way, or one is being put together."""
        return self._running

    @property
    def brewing(self) -> bool:
        """Whether water has come and the work is not over."""
        return self._work is not None and self._work.brewing

    @property
    def asks(self) -> bool:
        """Whether an estimate is waited for."""
        return self._work is not None and self._work.asks

    @property
    def curve(self) -> StationCurve | None:
        """Of what is seen."""
        return None if self._shown is None else self._shown.curve

    async def brew(self) -> None:
        """One work of its task, from its beginning to its end. Whatever goes wrong is reported in
        ``trouble``."""
        if self._running:
            return
        self._running = True
        self.trouble = self._remark = None
        work: Work | None = None
        try:
            work = await asyncio.to_thread(self._tasks[self._at].make)
            if work is None:
                self._remark = ALL_MADE
                return
            self._shown = self._work = work
            await work.run(self._hear)
            self.trouble = work.trouble
        except PourcoachError as error:
            self.trouble = str(error)
        except Exception as error:  # one station's fault is never another's
            self.trouble = printable(
                f"a fault of the program ended it: {type(error).__name__}: {error}", LONGEST_FAULT
            )
        finally:
            self._running = False
            self._work = None
            if work is None and self.trouble is not None:
                self._shown = None
            if work is not None and (done := work.done()) is not None:
                self.done.append(done)
            if self._on_over is not None:
                self._on_over(self)

    def turn(self) -> None:
        """The next of its tasks from now on. What has begun is not broken off; what waits for its
        first water is left for it."""
        if len(self._tasks) < 2 or self.brewing or self.asks:
            return
        self._at = (self._at + 1) % len(self._tasks)
        self._remark = f"Next: {self._tasks[self._at].title}. Start it."
        self.stop()

    def tare(self) -> None:
        if self._work is not None:
            self._work.tare()

    def finish(self) -> None:
        """End what is under way and keep it; what has not begun stays ready."""
        if self._work is not None:
            self._work.finish()

    def note(self, text: str) -> None:
        if self._work is not None:
            self._work.note(text)

    def estimate(self, value: float) -> None:
        """What the student thinks they poured, where that is asked."""
        if self._work is not None:
            self._work.estimate(value)

    def stop(self) -> None:
        """Save what there is and let the scale go."""
        if self._work is not None:
            self._work.stop()

    def seen(self) -> SeenStation:
        """As a wall shows it now."""
        if self._shown is None:
            return SeenStation(self.name, TileAge.WAITING, trouble=self.trouble)
        self._number += 1
        seen = self._shown.seen(
            self.name, self.person, self._number, running=self._work is not None
        )
        if self._remark is not None and seen.tile is not None:
            seen = replace(seen, tile=replace(seen.tile, says=self._remark, next="", notice=None))
        return replace(seen, trouble=self.trouble)

    def _hear(self, frame: Frame) -> None:
        if self._on_frame is not None:
            self._on_frame(self, frame)
