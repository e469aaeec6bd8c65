"""The base of charts that stand still until another value is shown."""

from textual.strip import Strip

from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.themes import palette_of
from pourcoach.tui.widgets.drawn import Drawn


class StillChart(Drawn):
    """Drawn whole, once for each value, size and palette. The chart of a brew that goes on
    (``chart.py``) adds to what it has drawn instead.
    """

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._glyphs = glyphs
        self._strips: list[Strip] | None = None
        self._drawn_size = self.size

    def drawn(self, width: int, height: int, palette: Palette) -> list[Strip]:
        """All rows from the top, ``height`` at most; what is missing is blank."""
        raise NotImplementedError

    def forget(self) -> None:
        """Redraw everything: another value, other colours, another size."""
        self._strips = None
        self.redraw()

    def on_resize(self) -> None:
        self.forget()

    def row(self, y: int) -> Strip:
        width, height = self.size
        palette = palette_of(self.app)
        if self._strips is None or self._drawn_size != self.size:
            # A row may be asked for before the news of another size has come.
            self._strips, self._drawn_size = self.drawn(width, height, palette), self.size
        if y >= len(self._strips):
            return Strip.blank(width, palette.text.style())
        return self._strips[y]
