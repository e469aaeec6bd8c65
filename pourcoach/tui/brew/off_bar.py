"""The off-target bar."""

from pourcoach.domain.units import Grams
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.off_bar import draw_off_bar
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.widgets.painted import Painted


class OffBar(Painted):
    """How far off the target, and the band about it."""

    _off_g: Grams | None = None
    _band_g: Grams | None = None

    def show(self, off_g: Grams | None, band_g: Grams | None) -> None:
        """Show this from now on."""
        self._off_g, self._band_g = off_g, band_g
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_off_bar(self._off_g, self._band_g, width, height, self.glyphs, palette)
