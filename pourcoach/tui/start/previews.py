"""Previews of recordings, read beside the event loop as they are looked at."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, TypeAlias

from textual.screen import Screen
from textual.timer import Timer

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.units import Seconds
from pourcoach.session.glance import RecordingGlance
from pourcoach.tui.off_loop import off_loop

Read: TypeAlias = Callable[[Path], RecordingGlance]

# Whoever goes down a list does not want each one read. Common practice.
LOOKED_AT_S: Seconds = 0.15


class Previews:
    """Keeps what was read; a tape does not change once its brew is over."""

    def __init__(self, screen: Screen[Any], read: Read, done: Callable[[], None]) -> None:
        """``done`` is called when one more can be had."""
        self._screen = screen
        self._read = read
        self._done = done
        self._kept: dict[Path, RecordingGlance | None] = {}
        self._wanted: Path | None = None
        self._timer: Timer | None = None

    def get(self, path: Path) -> RecordingGlance | None:
        """The preview, or None as long as there is none; then it is read, if it stays wanted."""
        if path not in self._kept and path != self._wanted:
            self._wanted = path
            if self._timer is not None:
                self._timer.stop()
            self._timer = self._screen.set_timer(LOOKED_AT_S, partial(self._begin, path))
        return self._kept.get(path)

    def _begin(self, path: Path) -> None:
        off_loop(
            self._screen,
            partial(self._read_if_wanted, path),
            partial(self._take, path),
            partial(self._fail, path),
        )

    def _read_if_wanted(self, path: Path) -> RecordingGlance | None:
        return self._read(path) if path == self._wanted else None

    def _take(self, path: Path, found: RecordingGlance | None) -> None:
        if found is not None:
            self._kept[path] = found
        if path == self._wanted:
            self._wanted = None
            self._done()

    def _fail(self, path: Path, error: PourcoachError) -> None:
        self._take(path, RecordingGlance(None, (), f"{error}", ""))
