"""The side column of read-outs."""

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.read_outs import draw_read_outs
from pourcoach.tui.widgets.painted import Painted


class ReadOuts(Painted):
    """Labels and values; its width is fixed, so that no change asks for layout."""

    _values: tuple[tuple[str, str], ...] = ()

    def show(self, *values: tuple[str, str]) -> None:
        """Show these (label, value) pairs from now on."""
        self._values = values
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_read_outs(self._values, width, height, self.glyphs, palette)
