"""What the brew board is made of: the word, the off-target bar, the read-outs."""

from dataclasses import replace

from pourcoach.tui.brew.brew_view import BrewView
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.off_bar import draw_off_bar
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.panel import draw_panel
from pourcoach.tui.renderables.read_outs import draw_read_outs
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH
from pourcoach.tui.widgets.painted import Painted

BAR_ROWS = 2


class WordPanel(Painted):
    """The word with its figure, and below it how far off the target: what is looked at while
    pouring. One widget, since Textual's way from a change to the terminal costs as much again for
    each.
    """

    def __init__(self, glyphs: Glyphs, view: BrewView, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self.shown = view
        self._has_bar = False

    def show(self, view: BrewView, *, bar: bool, tiny: bool = False, at_once: bool = False) -> None:
        """Show this from now on, with the bar or without; ``tiny`` says instead of the sentence
        what room is needed, and leaves the bar out. ``at_once`` sends it to the terminal."""
        needed = f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}"
        self.shown = replace(view, sentence=needed) if tiny else view
        self._has_bar = bar and not tiny
        self.repaint(at_once=at_once)

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        view = self.shown
        bar_rows = BAR_ROWS if self._has_bar else 0
        panel = draw_panel(
            view.word,
            view.tone,
            view.sentence,
            view.figure,
            view.caption,
            width,
            height - bar_rows,
            self.glyphs,
            palette,
        )
        if not bar_rows:
            return panel
        bar = draw_off_bar(view.off_g, view.band_g, width, bar_rows, self.glyphs, palette)
        return panel.above(bar)


class ReadOuts(Painted):
    """Labels and values; its width is fixed, so that no change asks for layout."""

    _values: tuple[tuple[str, str], ...] = ()

    def show(self, *values: tuple[str, str]) -> None:
        """Show these (label, value) pairs from now on."""
        self._values = values
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_read_outs(self._values, width, height, self.glyphs, palette)
