"""A program in a pseudo-terminal, and what it draws. Part of ``tests.benchmarks.screen``."""

import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from fcntl import ioctl

WIDTH, HEIGHT = 100, 30
# The figure takes at most this many columns at the right of the panel, in rows 1 to 5.
FIGURE_COLUMNS = 36


class Terminal:
    """Runs a program in a pseudo-terminal and keeps what it draws."""

    def __init__(self, arguments: list[str]) -> None:
        import pyte

        self.received: list[tuple[float, int]] = []
        """Moment and number of bytes."""
        self.shown: list[tuple[float, float]] = []
        """Moment and weight on the screen, whenever it changed."""
        self.first_screen_ms = 0.0
        self._screen = pyte.Screen(WIDTH, HEIGHT)
        self._stream = pyte.ByteStream(self._screen)
        self._figures = _figures()
        self._us, them = pty.openpty()
        ioctl(them, termios.TIOCSWINSZ, struct.pack("HHHH", HEIGHT, WIDTH, 0, 0))
        environ = os.environ | {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        environ.pop("NO_COLOR", None)
        self._begun = time.perf_counter()
        self._process = subprocess.Popen(
            [sys.executable, *arguments], stdin=them, stdout=them, stderr=them, env=environ
        )
        os.close(them)

    def watch(self) -> None:
        """Until the program ends."""
        while True:
            select.select([self._us], [], [])
            try:
                data = os.read(self._us, 1 << 16)
            except OSError:  # Linux: the other end is closed.
                break
            if not data:
                break
            self._take(data, time.perf_counter())
        status = self._process.wait()
        if status:
            sys.exit("\n".join(self._screen.display) + f"\nthe child failed with {status}")

    def look(self, rows: list[str], now: float) -> None:
        """Called with the screen after each piece of output."""

    def _take(self, data: bytes, now: float) -> None:
        self.received.append((now, len(data)))
        self._stream.feed(data)
        rows = self._screen.display
        self.look(rows, now)
        if not self.first_screen_ms and "█" in rows[1]:
            self.first_screen_ms = 1000 * (now - self._begun)
        figure = tuple(row[WIDTH - FIGURE_COLUMNS :] for row in rows[1:6])
        grams = self._figures.get(figure)
        if grams is not None and (not self.shown or self.shown[-1][1] != grams):
            self.shown.append((now, grams))


def _figures() -> dict[tuple[str, ...], float]:
    """Every weight that can be shown, by its block digits."""
    from pourcoach.tui.renderables.block_text import block_text
    from pourcoach.tui.renderables.glyphs import FULL

    figures = {}
    for tenths in range(10_000):
        rows = block_text(f"{tenths / 10:.1f}", FULL, 2, 2)
        figures[tuple(f"{row}  ".rjust(FIGURE_COLUMNS) for row in rows)] = tenths / 10
    return figures
