"""What the review is made of: its head and the stage table."""

from collections.abc import Sequence

from textual import events
from textual.message import Message

from pourcoach.reports.brew.stage_table import StageRow
from pourcoach.reports.brew.verdict import Verdict
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone
from pourcoach.tui.renderables.stage_list import draw_stage_list
from pourcoach.tui.renderables.verdict_head import VERDICT_TONES, draw_verdict
from pourcoach.tui.widgets.painted import Painted


class VerdictPanel(Painted):
    """Its class gives the tone: ``-wait``, ``-target`` or ``-act``."""

    def __init__(self, glyphs: Glyphs, lead: Verdict, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self._lead = lead
        tone: Tone = VERDICT_TONES[lead.found]
        self.add_class(f"-{tone.value}")

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_verdict(self._lead, width, height, self.glyphs, palette)


class StageList(Painted):
    """Posts Picked when a row is clicked."""

    class Picked(Message):
        """A row was clicked."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index

    def __init__(
        self,
        glyphs: Glyphs,
        rows: Sequence[StageRow],
        *,
        id: str | None = None,  # noqa: A002
    ) -> None:
        super().__init__(glyphs, id=id)
        self._rows = rows
        self._picked: int | None = None

    def show(self, picked: int | None) -> None:
        """Show this row as picked from now on."""
        self._picked = picked
        self.repaint()

    def on_click(self, event: events.Click) -> None:
        if 1 <= event.y <= len(self._rows):
            event.stop()
            self.post_message(self.Picked(event.y - 1))

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_stage_list(self._rows, self._picked, width, height, palette)
