"""Prose in a box."""

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.paragraphs import draw_paragraphs
from pourcoach.tui.widgets.painted import Painted


class Paragraphs(Painted):
    """As much as there is room for."""

    more = "d  more"
    """Stands where the rest is cut off: the key that shows it."""

    _paragraphs: tuple[str, ...] = ()

    def show(self, *paragraphs: str) -> None:
        """Show these from now on."""
        self._paragraphs = paragraphs
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_paragraphs(self._paragraphs, width, height, self.more, palette)
