"""The head of the start screen."""

from pourcoach.tui.renderables.block_text import ROWS, block_text, block_width, small_block_text
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette

MARGIN = 2
NAME = "POURCOACH"


def draw_title(says: str, width: int, height: int, glyphs: Glyphs, palette: Palette) -> Cells:
    """The name as large as there is room for, and a sentence below it."""
    plain, bold = palette.target.style(), palette.target.style(bold=True)
    cells = Cells(width, height, plain)
    inside = width - 2 * MARGIN
    top = 1 if height > ROWS + 1 else 0
    if height > ROWS and block_width(NAME) <= inside:
        head = block_text(NAME, glyphs)
    elif height > ROWS and block_width(NAME, 1, 1) <= inside:
        head = block_text(NAME, glyphs, 1, 1)
    else:
        small = small_block_text(NAME, glyphs)
        head = small if height > len(small) and len(small[0]) <= inside else (NAME,)
    cells.put_rows(MARGIN, top, head, bold)
    cells.put(MARGIN, top + len(head), says, bold)
    return cells
