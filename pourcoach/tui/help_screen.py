"""Keys and what the screen means; any key goes back."""

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from pourcoach.tui.leaves_once import LeavesOnce

WIDTH = 76
"""Columns of a page's text, so that its frame just fits the usual 80."""
SCROLLING = ("up", "down", "pageup", "pagedown", "home", "end")


class HelpScreen(LeavesOnce[None], ModalScreen[None]):
    """A page of text over the screen below, which goes on meanwhile."""

    DEFAULT_CSS = f"""
    HelpScreen {{ align: center middle; background: $ground 60%; }}
    HelpScreen VerticalScroll {{
        width: {WIDTH + 4}; max-width: 100%; height: auto; max-height: 100%; padding: 1 2;
        background: $wait-ground; color: $wait-ink;
    }}
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(self._text, markup=False)

    def on_key(self, event: events.Key) -> None:
        if event.key not in SCROLLING:
            event.stop()
            self.dismiss()

    def on_click(self) -> None:
        self.dismiss()
