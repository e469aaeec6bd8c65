"""As little of an app as one screen needs."""

from typing import Any

from textual.app import App
from textual.screen import Screen

from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.themes import use_palette, variables


class ScreenApp(App[Any]):
    """Shows one screen, and knows whether it was left."""

    def __init__(self, screen: Screen[Any]) -> None:
        super().__init__()
        self.left = False
        self._first = screen

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, DARK)
        self.push_screen(self._first, self._leave)

    def _leave(self, _answer: Any) -> None:
        self.left = True
