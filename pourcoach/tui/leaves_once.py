"""A screen that cannot be left twice."""

from textual.await_complete import AwaitComplete
from textual.screen import Screen, ScreenResultType


class LeavesOnce(Screen[ScreenResultType]):
    """Textual takes the topmost screen away at each ``dismiss``, whichever it is called on: a key
    pressed twice, quicker than the first is acted on, would close the screen below as well.
    """

    def dismiss(self, result: ScreenResultType | None = None) -> AwaitComplete:
        """Give the result and leave; nothing where this screen is not on top (any more)."""
        return super().dismiss(result) if self.is_active else AwaitComplete()
