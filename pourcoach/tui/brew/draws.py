"""When the brew screen is drawn: the word first, the weight soon, all the rest when it is due."""

import asyncio
from collections.abc import Callable

from pourcoach.domain.units import Seconds

# A reading is drawn as it comes if nothing was drawn for so long: at 80 Hz every third one, so that
# a weight on the screen is at most 25 ms older than the newest reading. More is not seen (common
# practice) and costs battery.
LEAST_GAP_S: Seconds = 0.030
# What came in between is drawn by then, where no other reading comes. Later than a third reading at
# 80 Hz may be: a draw just before it would leave it waiting for the next.
MOST_GAP_S: Seconds = 0.042
# Chart, flow, time and keys are looked at between pours; a draw of all costs twice the others.
WHOLE_DRAWS_PER_S = 4
# Clock, countdown and "no reading" move without any input.
TICK_S: Seconds = 0.1
# A timer may come too early by as much as the clocks' steps; STOP would then wait for another one.
STOP_AFTER_S: Seconds = 0.001


class Draws:
    """Calls ``head`` for word, weight and bar, and ``whole`` for everything, from ``begin`` to
    ``end``.
    """

    def __init__(self, head: Callable[[], None], whole: Callable[[], None]) -> None:
        self._head = head
        self._whole = whole
        # Not Textual timers: each of those is a task of its own.
        self._ticker: asyncio.TimerHandle | None = None
        self._ticks_idle = 0
        self._timer: asyncio.TimerHandle | None = None
        self._stop_timer: asyncio.TimerHandle | None = None
        self._drawn_s: Seconds = 0.0
        self._whole_due_s: Seconds = 0.0

    @property
    def idle_s(self) -> Seconds:
        """How long no Frame has come. A loop that is held up does not count the time."""
        return self._ticks_idle * TICK_S

    def begin(self) -> None:
        """Draw everything, and from now on whatever moves by itself."""
        self.all_now()
        self._ticker = asyncio.get_running_loop().call_later(TICK_S, self._tick)

    def end(self) -> None:
        """Draw no more."""
        self._drop_timer()
        self.stop_in(None)
        if self._ticker is not None:
            self._ticker.cancel()
            self._ticker = None

    def frame(self, *, new_word: bool) -> None:
        """Draw the Frame that has come: now, or soon together with a newer one."""
        loop = asyncio.get_running_loop()
        self._ticks_idle = 0
        if new_word:
            self._word()
        elif loop.time() - self._drawn_s >= LEAST_GAP_S:
            self._due()
        elif self._timer is None:
            self._timer = loop.call_at(self._drawn_s + MOST_GAP_S, self._due)

    def all_now(self) -> None:
        """Draw everything."""
        self._whole_due_s = asyncio.get_running_loop().time() + 1 / WHOLE_DRAWS_PER_S
        self._whole()

    def stop_in(self, wait_s: Seconds | None) -> None:
        """Draw once STOP is due, after ``wait_s``, whether or not a Frame comes; with None draw
        nothing. It may have fallen due while the last draw was made, and is drawn again then.
        """
        if self._stop_timer is not None:
            self._stop_timer.cancel()
            self._stop_timer = None
        if wait_s is not None:
            loop = asyncio.get_running_loop()
            self._stop_timer = loop.call_later(max(0.0, wait_s) + STOP_AFTER_S, self._word)

    def _tick(self) -> None:
        self._ticker = asyncio.get_running_loop().call_later(TICK_S, self._tick)
        self._ticks_idle += 1
        if self._ticks_idle > 1:  # Else a Frame was drawn just now.
            self.all_now()

    def _word(self) -> None:
        """Another word: what else has changed waits until that is on its way."""
        loop = asyncio.get_running_loop()
        self._drop_timer()
        self._drawn_s, self._whole_due_s = loop.time(), 0.0
        self._head()
        self._timer = loop.call_at(self._drawn_s + MOST_GAP_S, self._due)

    def _due(self) -> None:
        self._drop_timer()
        self._drawn_s = asyncio.get_running_loop().time()
        if self._drawn_s >= self._whole_due_s:
            self.all_now()
        else:
            self._head()

    def _drop_timer(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
