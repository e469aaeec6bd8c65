"""The head of the review."""

from pourcoach.reports.verdict import Verdict
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone
from pourcoach.tui.renderables.verdict import VERDICT_TONES, draw_verdict
from pourcoach.tui.widgets.painted import Painted


class VerdictPanel(Painted):
    """Its class tells the tone: ``-wait``, ``-target`` or ``-act``."""

    def __init__(self, glyphs: Glyphs, lead: Verdict, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self._lead = lead
        tone: Tone = VERDICT_TONES[lead.found]
        self.add_class(f"-{tone.value}")

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_verdict(self._lead, width, height, self.glyphs, palette)
