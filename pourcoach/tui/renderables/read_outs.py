"""The side column: flow, time and how far off, in digits three rows high."""

from pourcoach.tui.renderables.block_text import SMALL_ROWS, small_block_text
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette

MARGIN = 2


def draw_read_outs(
    values: tuple[tuple[str, str], ...],
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """(label, value) one under the other, spread out where there is room; what does not fit is
    left out from the end on.
    """
    cells = Cells(width, height, palette.on_ground(palette.dim))
    least = 1 + SMALL_ROWS
    fitting = values[: height // least]
    each = min(least + 1, height // len(fitting)) if fitting else least
    for index, (label, value) in enumerate(fitting):
        row = index * each
        cells.put(MARGIN, row, label, palette.on_ground(palette.dim))
        ink = palette.on_ground(palette.text.ink, bold=True)
        cells.put_rows(MARGIN, row + 1, _fitting(value, width - MARGIN, glyphs), ink)
    return cells


def _fitting(value: str, room: int, glyphs: Glyphs) -> tuple[str, ...]:
    """In blocks; without its decimal or as text where they are too wide. No digit is cut off."""
    for text in (value, value.partition(".")[0]):
        rows = small_block_text(text, glyphs)
        if len(rows[1]) <= room:
            return rows
    return ("", value, "")
