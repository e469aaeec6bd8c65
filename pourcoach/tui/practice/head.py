"""A head in block letters with a figure beside it, on a panel: the result before anything else."""

from dataclasses import dataclass
from textwrap import wrap

from pourcoach.tui.renderables.block_text import ROWS, block_text, block_width
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone
from pourcoach.tui.widgets.painted import Painted

MARGIN = 2
# Stroke and gap, the widest first.
_SIZES = ((2, 2), (2, 1), (1, 1))


@dataclass(frozen=True, slots=True)
class Head:
    """All texts are ready to be drawn."""

    word: str
    tone: Tone
    figure: str = ""
    sentence: str = ""
    dark: bool = False
    """Nothing at all is to be drawn."""


def draw_head(head: Head, width: int, height: int, glyphs: Glyphs, palette: Palette) -> Cells:
    """Word to the left, figure to the right, the sentence below in as many rows as are left.

    Where there is no room for both in blocks, the figure goes into the row below.
    """
    if head.dark:
        return Cells(width, height, palette.on_ground(palette.text.ink))
    pair = palette.tone(head.tone)
    bold = pair.style(bold=True)
    cells = Cells(width, height, pair.style())
    inside = width - 2 * MARGIN
    if height < ROWS + 2:
        cells.put(MARGIN, 0, f"{head.word}  {head.figure}".rstrip(), bold)
        cells.put(MARGIN, 1, head.sentence, pair.style())
        return cells
    sentence, size = head.sentence, _size(f"{head.word}  {head.figure}", inside)
    if size is None:
        size = _size(head.word, inside)
        sentence = f"{head.figure}  {sentence}".strip()
    elif head.figure:
        rows = block_text(head.figure, glyphs, *size)
        cells.put_rows(width - MARGIN - len(rows[0]), 1, rows, bold)
    if size is None:
        cells.put(MARGIN, 1, head.word, bold)
    else:
        cells.put_rows(MARGIN, 1, block_text(head.word, glyphs, *size), bold)
    for row, line in enumerate(wrap(sentence, max(1, inside))[: height - ROWS - 2]):
        cells.put(MARGIN, ROWS + 2 + row, line, bold)
    return cells


def _size(text: str, room: int) -> tuple[int, int] | None:
    return next((size for size in _SIZES if block_width(text, *size) <= room), None)


class HeadPanel(Painted):
    """Its class gives the tone: ``-wait``, ``-target`` or ``-act``."""

    shown = Head("", Tone.WAIT)

    def show(self, head: Head) -> None:
        """Show this from now on."""
        self.shown = head
        self.set_classes(f"-{head.tone.value}")
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        return draw_head(self.shown, width, height, self.glyphs, palette)
