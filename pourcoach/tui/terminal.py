"""Being asked to end from outside, without leaving the terminal in a state of ours."""

import asyncio
import os
import signal
import sys
from collections.abc import Callable
from types import FrameType

if sys.platform == "win32":
    # A closing console gives no time to act; what is written by then is on the tape.
    ENDING_SIGNALS: tuple[signal.Signals, ...] = ()
else:
    ENDING_SIGNALS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)


TERMINAL_LOOKED_FOR_S = 0.25
"""How often a terminal that may go without a signal is looked for."""


def on_end_signal(act: Callable[[signal.Signals], None]) -> None:
    """Call ``act`` from the running loop at a signal to end, in place of dying at once.

    Left alone, these signals leave the alternate screen on and the mouse reporting.
    """
    loop = asyncio.get_running_loop()
    for number in ENDING_SIGNALS:
        loop.add_signal_handler(number, act, number)


def heed_no_lost_terminal() -> None:
    """Let SIGCONT do nothing once the terminal is gone.

    A closing terminal sends SIGHUP and SIGCONT, and Textual takes each SIGCONT for ``fg``: it would
    start to write to a terminal that is no longer there.
    """
    if sys.platform != "win32":
        usual = signal.getsignal(signal.SIGCONT)

        def guarded(number: int, frame: FrameType | None) -> None:
            if callable(usual) and terminal_is_there():
                usual(number, frame)

        signal.signal(signal.SIGCONT, guarded)


def lost_terminal() -> signal.Signals | None:
    """What a terminal sends that closes, where it is gone without that; None while it is there.

    It goes so where it is not the controlling one: under a supervisor, or in a container.
    """
    if sys.platform == "win32" or terminal_is_there():
        return None
    return signal.SIGHUP


def terminal_is_there() -> bool:
    """Whether standard error, which Textual draws to, still leads to a terminal."""
    stream = sys.__stderr__
    return stream is not None and os.isatty(stream.fileno())


def die_of(number: signal.Signals) -> None:
    """End this process by the signal ``number``, so that its sender sees it obeyed."""
    signal.signal(number, signal.SIG_DFL)
    os.kill(os.getpid(), number)
