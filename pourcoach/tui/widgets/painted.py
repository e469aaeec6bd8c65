"""The base of widgets that are drawn as cells."""

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

    def repaint(self) -> None:
        """Draw the value, which has changed, and mark what differs for the next update."""
        if not self.is_mounted or not self.size:
            return
        older, self._cells = self._cells, self._painted()
        if older is None or (older.width, older.height) != self.size:
            self.redraw()
        else:
            self.redraw(self._cells.changes(older))

    def forget(self) -> None:
        """Redraw everything in other colours."""
        self._cells = None
        self.redraw()

    def row(self, y: int) -> Strip:
        if self._cells is None or (self._cells.width, self._cells.height) != self.size:
            self._cells = self._painted()
        return self._cells.strip(y)

    def _painted(self) -> Cells:
        return self.paint(self.size.width, self.size.height, palette_of(self.app))
