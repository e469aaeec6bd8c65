"""What the brew board is made of: the word, the off-target bar, the read-outs."""

from dataclasses import replace

from pourcoach.domain.units import Grams
from pourcoach.tui.brew.brew_view import BrewView
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.off_bar import draw_off_bar
from pourcoach.tui.renderables.palette import Palette, Tone
from pourcoach.tui.renderables.panel import draw_panel
from pourcoach.tui.renderables.read_outs import draw_read_outs
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH
from pourcoach.tui.widgets.painted import Painted


class WordPanel(Painted):
    """Its class gives the tone: ``-wait``, ``-target`` or ``-act``."""

    def __init__(self, glyphs: Glyphs, view: BrewView, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self.shown = view
        self._tell_tone()

    def show(self, view: BrewView, *, tiny: bool = False) -> None:
        """Show this from now on; ``tiny`` says instead of the sentence what room is needed."""
        needed = f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}"
        self.shown = replace(view, sentence=needed) if tiny else view
        self._tell_tone()
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        view = self.shown
        return draw_panel(
            view.word,
            view.tone,
            view.sentence,
            view.figure,
            view.caption,
            width,
            height,
            self.glyphs,
            palette,
        )

    def _tell_tone(self) -> None:
        name = f"-{self.shown.tone.value}"
        if not self.has_class(name):
            self.remove_class(*(f"-{tone.value}" for tone in Tone))
            self.add_class(name)


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


class ReadOuts(Painted):
    """Labels and values; its width is fixed, so that no change asks for layout."""

    _values: tuple[tuple[str, str], ...] = ()

    def show(self, *values: tuple[str, str]) -> None:
        """Show these (label, value) pairs from now on."""
        self._values = values
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_read_outs(self._values, width, height, self.glyphs, palette)
