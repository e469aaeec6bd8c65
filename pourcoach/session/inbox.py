"""What waits for the fold of a live brew: what the scale brings, and keys, in order."""

import asyncio
from collections import deque
from collections.abc import Callable
from typing import TypeAlias

from pourcoach.domain.inputs import Input, Link, Reading
from pourcoach.domain.units import Seconds

# It is waited in this many beats. A loop that was held up (a slow terminal, a busy machine) loses
# one beat, not all of them, and then finds the readings that came meanwhile.
BEATS = 5
# Readings that wait for the fold, at most: two seconds of the fastest scales. A scale that is ahead
# waits in its turn.
MOST_WAITING = 200
# Of them, folded before the loop looks round: some milliseconds of work.
MOST_AT_ONCE = 16

Action: TypeAlias = Callable[[Seconds], Input]
"""A key press, waiting to be given its time."""
Item: TypeAlias = Reading | Link | Action | Exception | None
"""None is the end."""


class Inbox:
    """Bounded for the scale; keys are always taken."""

    def __init__(self) -> None:
        self._items: deque[Item] = deque()
        self._room = asyncio.Semaphore(MOST_WAITING)
        self._at_once = 0
        """Items taken without a pause."""
        self._waiter: asyncio.Future[None] | None = None
        """Of ``take``, while there is nothing."""
        # One timer that goes on, not one for each reading: that costs more than the waiting itself.
        self._beat: asyncio.TimerHandle | None = None
        self._beats_left = 0

    def put(self, item: Item) -> None:
        """A key, the end, or what ended the scale."""
        self._items.append(item)
        if self._waiter is not None and not self._waiter.done():
            self._waiter.set_result(None)

    async def bring(self, item: Reading | Link) -> None:
        """What the scale gives, once there is room."""
        await self._room.acquire()
        self.put(item)

    async def take(self, wait_s: Seconds) -> Item:
        """The next item. Raises TimeoutError where none comes within ``wait_s``, of the wall's, or
        one beat more.
        """
        self._at_once = self._at_once + 1 if self._items else 0
        if self._at_once >= MOST_AT_ONCE:
            # A queue that is never empty never waits: signals and keys would not be heard.
            self._at_once = 0
            await asyncio.sleep(0)
        while not self._items:
            await self._wait(wait_s / BEATS)
        item = self._items.popleft()
        if isinstance(item, Reading | Link):
            self._room.release()
        return item

    async def _wait(self, beat_s: Seconds) -> None:
        self._waiter = asyncio.get_running_loop().create_future()
        self._beats_left = BEATS
        if self._beat is None:
            self._start_beat(beat_s)
        else:
            self._beats_left += 1  # The next one comes too soon.
        try:
            await self._waiter
        finally:
            self._waiter = None

    def _start_beat(self, beat_s: Seconds) -> None:
        self._beat = asyncio.get_running_loop().call_later(beat_s, self._on_beat, beat_s)

    def _on_beat(self, beat_s: Seconds) -> None:
        self._beat = None
        waiter = self._waiter
        if waiter is None or waiter.done():
            return
        self._beats_left -= 1
        if self._beats_left > 0:
            self._start_beat(beat_s)
        else:
            waiter.set_exception(TimeoutError())
