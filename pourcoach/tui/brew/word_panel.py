"""The word, the figure and the sentence."""

from dataclasses import replace

from pourcoach.tui.brew.brew_view import BrewView
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone
from pourcoach.tui.renderables.panel import draw_panel
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH
from pourcoach.tui.widgets.painted import Painted


class WordPanel(Painted):
    """Its class tells the tone: ``-wait``, ``-target`` or ``-act``."""

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
