"""Opens the picked brew once the selection has rested on it."""

from collections.abc import Callable
from functools import partial

from textual.screen import Screen

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.units import Seconds
from pourcoach.library.records import OpenedBrew
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.sessions.selection import BrewSelection
from pourcoach.tui.sessions.shelf import Shelf

# Whoever goes down a list does not want each one opened. Common practice.
LOOKED_AT_S: Seconds = 0.1


class Opening:
    """Reads the library beside the screen; what comes too late is dropped."""

    def __init__(
        self,
        screen: Screen[bool],
        shelf: Shelf,
        selection: BrewSelection,
        show: Callable[[], None],
        fail: Callable[[PourcoachError], None],
    ) -> None:
        """``show`` is called once a brew is there, ``fail`` where it cannot be read."""
        self._screen = screen
        self._shelf = shelf
        self._selection = selection
        self._show = show
        self._fail = fail
        self.opened: OpenedBrew | None = None
        """The one that is picked; None until it has been read."""

    def moved(self) -> None:
        """Another brew is picked."""
        self.opened = None

    def look(self) -> None:
        """Open the brew that is picked, if it is still so in a moment."""
        brew = self._selection.picked
        if self.opened is not None and not self._selection.is_picked(self.opened.brew.number):
            self.opened = None
        if brew is not None:
            self._screen.set_timer(LOOKED_AT_S, partial(self._open_if_picked, brew.number))

    def _open_if_picked(self, number: int) -> None:
        if self._selection.is_picked(number):
            off_loop(self._screen, partial(self._shelf.open, number), self._take, self._fail)

    def _take(self, opened: OpenedBrew) -> None:
        if self._selection.is_picked(opened.brew.number):
            self.opened = opened
            self._show()
