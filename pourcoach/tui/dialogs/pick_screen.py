"""One of a few things, picked with its number."""

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

from pourcoach.tui.leaves_once import LeavesOnce

MOST = 9


class PickScreen(LeavesOnce[int | None], ModalScreen[int | None]):
    """Gives the index of what was picked; None for none. At most MOST things."""

    DEFAULT_CSS = """
    PickScreen { align: center middle; background: $ground 60%; }
    PickScreen Static {
        width: auto; max-width: 100%; height: auto; padding: 1 3;
        background: $act-ground; color: $act-ink; text-style: bold;
    }
    """

    def __init__(self, question: str, things: Sequence[str]) -> None:
        super().__init__()
        self._question = question
        self._things = tuple(things[:MOST])

    def compose(self) -> ComposeResult:
        lines = [f"{number}  {thing}" for number, thing in enumerate(self._things, 1)]
        yield Static("\n".join([self._question, "", *lines, "", "esc  none"]), markup=False)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        if event.character and event.character.isdecimal():
            index = int(event.character) - 1
            if 0 <= index < len(self._things):
                self.dismiss(index)
        elif event.key in ("escape", "q"):
            self.dismiss(None)

    def on_click(self, event: events.Click) -> None:
        """On a line: that thing. Two lines of question stand above the first."""
        if event.widget is self:
            self.dismiss(None)
        elif event.widget is not None:
            index = event.screen_y - event.widget.content_region.y - 2
            if 0 <= index < len(self._things):
                self.dismiss(index)
