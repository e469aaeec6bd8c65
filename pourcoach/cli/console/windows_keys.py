"""Single keys from a console of Windows, which has no descriptor to read them from."""

import signal
from collections.abc import Callable
from typing import Protocol

# An arrow or a function key is one of these and, at once, another code. 0xe0 alone is the letter à.
_PREFIXES = ("\x00", "\xe0")
_CTRL_C = "\x03"


class Console(Protocol):
    """What ``msvcrt`` gives of it."""

    def getwch(self) -> str:
        """The next key pressed, unseen, as one UTF-16 code unit. Waits for it."""
        ...

    def kbhit(self) -> bool:
        """Whether another code waits to be read."""
        ...


def windows_console() -> Console:
    """The one that the program was started in."""
    import msvcrt

    return msvcrt  # type: ignore[return-value]  # its names are there on Windows alone


def read_key(console: Console, interrupt: Callable[[], None] | None = None) -> bytes:
    """Wait for a key that stands for text, and give it in UTF-8.

    While a key is waited for, Windows sends Ctrl+C as a key: it calls ``interrupt``, which does
    what the signal would have done.
    """
    while True:
        key = console.getwch()
        if key in _PREFIXES and console.kbhit():
            console.getwch()
        elif key == _CTRL_C:
            (interrupt or _interrupt)()
        elif "\ud800" <= key <= "\udbff":
            # A character beyond the first 65536 comes in two units.
            pair = key + console.getwch()
            return pair.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace").encode()
        elif key != "\x00":
            return key.encode("utf-8", "replace")


def _interrupt() -> None:
    signal.raise_signal(signal.SIGINT)
