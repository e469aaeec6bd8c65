"""The head of the start screen."""

from textual.message import Message

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.title import draw_title
from pourcoach.tui.widgets.painted import Painted


class TitlePanel(Painted):
    """Says what the main action does, and does it when clicked."""

    class Clicked(Message):
        """The panel was clicked."""

    _says = ""

    def show(self, says: str) -> None:
        """Say this from now on."""
        self._says = says
        self.repaint()

    def on_click(self) -> None:
        self.post_message(self.Clicked())

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_title(self._says, width, height, self.glyphs, palette)
