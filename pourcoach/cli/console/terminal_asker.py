"""Asks at the terminal, without holding up the scale meanwhile."""

import asyncio
import shutil
import sys
import threading
from contextlib import suppress
from textwrap import wrap
from typing import TextIO

from pourcoach.domain.errors import WorkError

THREAD_NAME = "terminal answers"


class TerminalAsker:
    """Questions on a stream, answers from standard input, a line each.

    One thread reads lines and dies with the program: a thread of the event loop's own pool would
    keep it from ending while nobody presses Enter.
    """

    def __init__(self, stream: TextIO) -> None:
        """``stream`` is standard output, or standard error where the output is for a machine."""
        self._stream = stream
        self._answers: asyncio.Queue[str | None] = asyncio.Queue()
        self._thread: threading.Thread | None = None

    def say(self, text: str) -> None:
        print(self._wrapped(text), file=self._stream, flush=True)

    async def ask(self, text: str) -> str:
        """Raises WorkError when standard input has come to its end."""
        if self._thread is None:
            loop = asyncio.get_running_loop()
            self._thread = threading.Thread(
                target=self._read, name=THREAD_NAME, args=(loop,), daemon=True
            )
            self._thread.start()
        while not self._answers.empty():
            # Typed before it was asked: not an answer to this.
            if self._answers.get_nowait() is None:
                self._answers.put_nowait(None)
                break
        print(f"\n{self._wrapped(text)} ", end="", file=self._stream, flush=True)
        try:
            answer = await self._answers.get()
        except asyncio.CancelledError:
            print(file=self._stream)  # what is said next begins on a line of its own
            raise
        if answer is None:
            self._answers.put_nowait(None)
            raise WorkError("no answer came", "run it at a terminal, or use --from FILE")
        return answer

    def _wrapped(self, text: str) -> str:
        """A terminal would break its lines in mid-word."""
        if not self._stream.isatty():
            return text
        width = shutil.get_terminal_size().columns - 1
        return "\n".join(
            wrapped
            for line in text.split("\n")
            for wrapped in wrap(
                line, width, subsequent_indent=" " * (len(line) - len(line.lstrip()))
            )
            or [line]
        )

    def _read(self, loop: asyncio.AbstractEventLoop) -> None:
        # Once the loop is closed, nobody asks any more.
        with suppress(RuntimeError):
            for line in sys.stdin:
                loop.call_soon_threadsafe(self._answers.put_nowait, line.rstrip("\r\n"))
            loop.call_soon_threadsafe(self._answers.put_nowait, None)
