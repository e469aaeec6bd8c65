"""When an app under test has done what it was asked for: by its event loop, not by the clock.

Textual's pilot waits until the process has used less than a millisecond in a fiftieth of a second.
An app that draws ten times a second seldom does, so each key press took up to a second; and on a
busy machine a process that is kept waiting looks idle before it has begun.
"""

import asyncio

from pourcoach.tui.off_loop import in_thread

SOON_S = 0.05
"""What falls due within this is waited for: a refresh of Textual's after a sixtieth of a second,
and the draws of a brew screen after 36 ms."""
MOST_TIMERS = 10
"""Waited for one after the other, where an app is never quiet, as while a kettle is simulated."""

BESIDE_S = 0.5
"""For what is done beside the loop, which some tests hold up on purpose."""


async def until_quiet(_min_sleep: float = 0.0, _max_sleep: float = 0.0) -> None:
    """Until no callback is queued, nothing is done beside the loop and no timer falls due soon. In
    the place of Textual's ``wait_for_idle``.
    """
    loop = asyncio.get_running_loop()
    await _until_nothing_is_queued(loop)
    await asyncio.wait([asyncio.ensure_future(in_thread(bool))], timeout=BESIDE_S)
    for _ in range(MOST_TIMERS):
        await _until_nothing_is_queued(loop)
        wait_s = _next_due_s(loop) - loop.time()
        if wait_s > SOON_S:
            return
        await asyncio.sleep(max(0.0, wait_s))
    await _until_nothing_is_queued(loop)


async def _until_nothing_is_queued(loop: asyncio.AbstractEventLoop) -> None:
    await asyncio.sleep(0)
    while loop._ready:  # type: ignore[attr-defined]  # noqa: ASYNC110 - it is no event
        await asyncio.sleep(0)


def _next_due_s(loop: asyncio.AbstractEventLoop) -> float:
    """When the next timer falls due, on the loop's clock; infinite without one."""
    timers = loop._scheduled  # type: ignore[attr-defined]
    return min((timer.when() for timer in timers if not timer.cancelled()), default=float("inf"))
