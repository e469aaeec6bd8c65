"""The base of widgets that are drawn as cells."""

from textual.geometry import Size
from textual.strip import Strip

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.themes import palette_of
from pourcoach.tui.widgets.drawn import Drawn


class Painted(Drawn):
    """Sends to the terminal only the span of each row that differs from what it shows."""

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.glyphs = glyphs
        self._cells: Cells | None = None

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        """Draw the value shown now at this size."""
        raise NotImplementedError

    def repaint(self, *, at_once: bool = False) -> None:
        """Draw the value, which has changed, and mark what differs for the next update, or send it
        ``at_once``.
        """
        size = self.size
        if not self.is_mounted or not size:
            return
        older, self._cells = self._cells, self._painted(size)
        if older is None or (older.width, older.height) != size:
            self.redraw()
        else:
            self.redraw(self._cells.changes(older), at_once=at_once)

    def forget(self) -> None:
        """Redraw everything in other colours."""
        self._cells = None
        self.redraw()

    def row(self, y: int) -> Strip:
        if self._cells is None or (self._cells.width, self._cells.height) != self.room:
            self._cells = self._painted(self.room)
        return self._cells.strip(y)

    def _painted(self, size: Size) -> Cells:
        return self.paint(size.width, size.height, palette_of(self.app))
