"""Being asked to stop from outside, where text is printed."""

import asyncio
import signal
from collections.abc import Callable
from contextlib import suppress


def on_stop_signals(stop: Callable[[], None]) -> None:
    """Call ``stop`` from the running loop at Ctrl+C, SIGTERM or a hang-up.

    Where the system has no such handlers (Windows), Ctrl+C cancels the run, which saves too.
    """
    loop = asyncio.get_running_loop()
    with suppress(NotImplementedError, AttributeError):
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(number, stop)
