"""Brews judged while the list of them is shown."""

from collections.abc import Callable, Sequence
from functools import partial
from threading import Event

from textual.screen import Screen

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.units import Seconds
from pourcoach.tui.off_loop import Failed, beside_loop
from pourcoach.tui.sessions.shelf import Shelf

SHOWN_EVERY_S: Seconds = 1.0
"""Reading a long list again costs some hundredths of a second."""


class Judging:
    """What waits in ``shelf`` is judged beside ``screen``, which has ``step`` called while it goes
    on, and ``done`` at its end with what is to be said of it.
    """

    def __init__(
        self,
        screen: Screen[bool],
        shelf: Shelf,
        step: Callable[[], None],
        done: Callable[[str], None],
        failed: Failed,
    ) -> None:
        self._stop = Event()
        self._so_far = (0, 0)
        self._shown = (0, 0)
        self._step = step
        self._timer = screen.set_interval(SHOWN_EVERY_S, self._look)

        def ended(sentences: list[str]) -> None:
            self.stop()
            done(joined(sentences))

        def ended_badly(error: PourcoachError) -> None:
            self.stop()
            failed(error)

        judge = partial(shelf.judge, self._count, self._stop.is_set)
        beside_loop(screen, judge, ended, ended_badly)

    @property
    def text(self) -> str:
        """How far it is, to stand before other words; empty where nothing goes on."""
        done, count = self._so_far
        return "" if self._stop.is_set() or not count else f"judging {done} of {count} · "

    def stop(self) -> None:
        """Leave the rest for another time."""
        self._stop.set()
        self._timer.stop()

    def _count(self, done: int, count: int) -> None:
        # In the thread that judges: one assignment, which the screen looks at when it is due.
        self._so_far = (done, count)

    def _look(self) -> None:
        if self._so_far != self._shown:
            self._shown = self._so_far
            self._step()


def joined(sentences: Sequence[str]) -> str:
    """Sentences without their full stops, as one line."""
    return " ".join(f"{sentence}." for sentence in sentences)
