"""Work that may take long (library, tapes, files), done beside the event loop."""

import asyncio
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

from textual.screen import Screen

from pourcoach.domain.errors import PourcoachError

Result = TypeVar("Result")
Failed = Callable[[PourcoachError], None]
"""Called with what went wrong."""

# One thread: what is asked for first is kept first. Python waits for it at its exit, so that what
# was asked for just before leaving is kept too.
_thread = ThreadPoolExecutor(1, thread_name_prefix="off-loop")


async def in_thread(act: Callable[[], Result]) -> Result:
    """What ``act`` gives or raises. It is done even where nobody waits for it any more."""
    return await asyncio.shield(asyncio.wrap_future(_thread.submit(act)))


def off_loop(
    screen: Screen[Any],
    act: Callable[[], Result],
    then: Callable[[Result], None],
    failed: Failed,
) -> None:
    """Do ``act`` in a thread; then, if ``screen`` has not been left, ``then`` or ``failed``."""
    _answer(screen, in_thread(act), then, failed)


def beside_loop(
    screen: Screen[Any],
    act: Callable[[], Result],
    then: Callable[[Result], None],
    failed: Failed,
) -> None:
    """The same for what goes on for minutes, in a thread of its own: nothing waits for it, and it
    has to end by itself soon after ``screen`` is left.
    """
    _answer(screen, asyncio.to_thread(act), then, failed)


def _answer(
    screen: Screen[Any],
    answer: Awaitable[Result],
    then: Callable[[Result], None],
    failed: Failed,
) -> None:
    async def run() -> None:
        try:
            result = await answer
        except PourcoachError as error:
            if screen.is_attached:
                failed(error)
        else:
            if screen.is_attached:
                then(result)

    screen.app.run_worker(run(), group="off-loop")
