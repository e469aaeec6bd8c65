"""When an app under test has done what it was asked for: by its event loop, not by the clock.

Textual's pilot waits until the process has used less than a millisecond in a fiftieth of a second.
An app that draws ten times a second seldom does, so each key press took up to a second; and on a
busy machine a process that is kept waiting looks idle before it has begun.
"""

import asyncio
import time

SOON_S = 0.05
"""What falls due within this is waited for: a refresh of Textual's after a sixtieth of a second,
and the draws of a brew screen after 36 ms."""
LONGEST_S = 1.0
"""For an app that is never quiet, as while something is animated; as long as Textual waits."""


async def until_quiet(_min_sleep: float = 0.0, max_sleep: float = LONGEST_S) -> None:
    """Until no callback is queued and no timer falls due soon. In the place of Textual's
    ``wait_for_idle``.
    """
    loop = asyncio.get_running_loop()
    end_s = time.monotonic() + max_sleep
    while True:
        await asyncio.sleep(0)
        if loop._ready:  # type: ignore[attr-defined]
            continue
        due_s = _next_due_s(loop)
        now_s = loop.time()
        if due_s > now_s + SOON_S or time.monotonic() >= end_s:
            return
        await asyncio.sleep(max(0.0, due_s - now_s))


def _next_due_s(loop: asyncio.AbstractEventLoop) -> float:
    """When the next timer falls due, on the loop's clock; infinite without one."""
    timers = loop._scheduled  # type: ignore[attr-defined]
    return min((timer.when() for timer in timers if not timer.cancelled()), default=float("inf"))
