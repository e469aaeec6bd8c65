"""Keys and what the screen means; any key goes back."""

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.scrollbar import ScrollBarRender
from textual.widgets import Static

from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.renderables.page import Page, page_text
from pourcoach.tui.takes_keys import TakesKeys


class PlainScrollBar(ScrollBarRender):
    """Its ends fall on whole cells."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "]


WIDTH = 76
"""Columns of a page's text, so that its frame just fits the usual 80."""
SCROLLING = ("up", "down", "pageup", "pagedown", "home", "end")
_FRAME = 4
"""Columns of it."""
_LEAST_ROWS = 5
"""A page of fewer is no page: it then covers all of the screen below."""
_TIGHT_ROWS = 10
"""A page of fewer has no blank row above its text and none below."""


class HelpScreen(LeavesOnce[None], TakesKeys[None], ModalScreen[None]):
    """A page of text over the screen below, which goes on meanwhile."""

    DEFAULT_CSS = f"""
    HelpScreen {{ align: center middle; background: $ground 60%; }}
    HelpScreen VerticalScroll {{
        width: {WIDTH + _FRAME}; max-width: 100%; height: auto; max-height: 100%;
        padding: 1 2; background: $wait-ground; color: $wait-ink; scrollbar-size-vertical: 1;
    }}
    HelpScreen.-below {{ align: center bottom; background: $ground 0%; }}
    HelpScreen.-tight VerticalScroll {{ padding: 0 2; }}
    """

    def __init__(self, page: str | Page, *, keep_rows: int = 0) -> None:
        """The upper ``keep_rows`` of the screen below stay in sight where there is room."""
        super().__init__()
        self._page: Page = (page,) if isinstance(page, str) else page
        self._keep_rows = keep_rows

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(markup=False)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).vertical_scrollbar.renderer = PlainScrollBar  # type: ignore[misc]

    def on_resize(self, event: events.Resize) -> None:
        """Wrap the text to the new width."""
        width = min(WIDTH, event.size.width - _FRAME - 1)
        self.query_one(Static).update(page_text(self._page, width))
        rows = event.size.height - self._keep_rows
        below = self._keep_rows > 0 and rows >= _LEAST_ROWS
        self.set_class(below, "-below")
        self.set_class((rows if below else event.size.height) < _TIGHT_ROWS, "-tight")
        self.query_one(VerticalScroll).styles.max_height = rows if below else "100%"

    def take_key(self, event: events.Key) -> bool:
        if event.key in SCROLLING:
            return False
        self.dismiss()
        return True

    def on_click(self) -> None:
        self.dismiss()
