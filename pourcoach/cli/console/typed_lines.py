"""Lines put together from the characters that come in."""

from collections.abc import Callable

ENTER, RUBOUT = ("\r", "\n"), ("\x7f", "\b")


class CommandLines:
    """The lines of a stream that arrives in pieces of any size."""

    def __init__(self) -> None:
        self._rest = ""

    def take(self, text: str) -> list[str]:
        """The lines that ``text`` completes, stripped, without the blank ones."""
        *lines, self._rest = (self._rest + text).split("\n")
        return [line.strip() for line in lines if line.strip()]


class TypedLine:
    """One line at a time, typed key by key at a terminal that does not echo."""

    def __init__(self, echo: Callable[[str], None]) -> None:
        self._echo = echo
        self._typed = ""

    def take(self, key: str) -> str | None:
        """The line, if ``key`` is Enter: the next one begins empty. None for any other key."""
        if key in ENTER:
            typed, self._typed = self._typed, ""
            self._echo("\n")
            return typed
        if key in RUBOUT:
            if self._typed:
                self._echo("\b \b")
            self._typed = self._typed[:-1]
        elif key.isprintable():
            self._typed += key
            self._echo(key)
        return None
