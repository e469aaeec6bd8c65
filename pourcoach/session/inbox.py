"""What waits for the fold of a live brew: what the scale brings, and keys, in order."""

import asyncio
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
        self._items: asyncio.Queue[Item] = asyncio.Queue()
        self._room = asyncio.Semaphore(MOST_WAITING)
        self._at_once = 0
        """Items taken without a pause."""

    def put(self, item: Item) -> None:
        """A key, the end, or what ended the scale."""
        self._items.put_nowait(item)

    async def bring(self, item: Reading | Link) -> None:
        """What the scale gives, once there is room."""
        await self._room.acquire()
        self._items.put_nowait(item)

    async def take(self, wait_s: Seconds) -> Item:
        """The next item. Raises TimeoutError where none comes within ``wait_s``, of the wall's."""
        self._at_once = 0 if self._items.empty() else self._at_once + 1
        if self._at_once >= MOST_AT_ONCE:
            # A queue that is never empty never waits: signals and keys would not be heard.
            self._at_once = 0
            await asyncio.sleep(0)
        for _ in range(BEATS):
            try:
                # Not wait_for: in Python 3.11 it swallows a cancellation that comes together
                # with a reading, and the session would go on for ever.
                async with asyncio.timeout(wait_s / BEATS):
                    item = await self._items.get()
                    if isinstance(item, Reading | Link):
                        self._room.release()
                    return item
            except TimeoutError:
                continue
        raise TimeoutError
