"""One tile of the wall: the same word, weight, bar and clock as on the brew screen."""

from textwrap import wrap

from pourcoach.tui.renderables.block_text import (
    ROWS,
    SMALL_ROWS,
    block_text,
    block_width,
    small_block_text,
)
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.off_bar import draw_off_bar
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.wall.grid import BLOCK_HEIGHT, BLOCK_WIDTH
from pourcoach.tui.wall.tile_view import TileView

MARGIN = 1
# A weight of five signs beside the longest word, both in blocks, a stroke wide.
BESIDE_WIDTH = 46
STROKES = (3, 2, 1)
# From here on the weight is drawn in small blocks below the word.
SMALL_FIGURE_HEIGHT = 13


def draw_tile(
    view: TileView,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
    *,
    selected: bool = False,
) -> Cells:
    """The tile in its panel's colours; in blocks where there is room for them."""
    pair = palette.tone(view.tone)
    cells = Cells(width, height, pair.style())
    _head(cells, view, selected=selected, glyphs=glyphs, palette=palette)
    if width < BLOCK_WIDTH or height < BLOCK_HEIGHT:
        line = f"{glyphs.marks[view.mark]} {view.word}  {view.figure} {view.caption}"
        cells.put(MARGIN, 1, line[: width - 2 * MARGIN], pair.style(bold=True))
        rest = view.finding or view.says
        cells.put(MARGIN, 2, rest[: width - 2 * MARGIN], pair.style())
        return cells
    row = 1 + _word(cells, view, glyphs, palette)
    bar = draw_off_bar(view.off_g, view.band_g, width, 1, glyphs, palette)
    cells.paste(0, row, bar)
    _lines(cells, view, row + 1, palette)
    return cells


def _head(
    cells: Cells, view: TileView, *, selected: bool, glyphs: Glyphs, palette: Palette
) -> None:
    """Station and person, and the clock at the right; the selected one in other colours."""
    style = palette.target.style(bold=True) if selected else palette.text.style(bold=True)
    cells.fill(0, style)
    sign = f"{glyphs.running} " if selected else ""
    room = cells.width - 2 * MARGIN - len(view.time) - 1
    name = f"{sign}{view.name}  {view.person}".rstrip()
    cells.put(MARGIN, 0, name[: max(0, room)], style)
    cells.put(cells.width - MARGIN - len(view.time), 0, view.time, style)


def _word(cells: Cells, view: TileView, glyphs: Glyphs, palette: Palette) -> int:
    """Word and weight; the rows they take."""
    bold = palette.tone(view.tone).style(bold=True)
    room = cells.width - 2 * MARGIN
    beside = room >= BESIDE_WIDTH
    for stroke in STROKES:
        # The longest word decides, so that a word keeps its size while the wall keeps its.
        longest = block_width("STEADY", stroke, stroke)
        figure_width = block_width("888.8", stroke, stroke) + 1 if beside else 0
        if longest + figure_width <= room or stroke == STROKES[-1]:
            break
    cells.put_rows(MARGIN, 1, block_text(view.word, glyphs, stroke, stroke), bold)
    cells.put(MARGIN, ROWS + 1, glyphs.marks[view.mark], bold)
    if beside and block_width(view.figure, stroke, stroke) + 1 + longest <= room:
        rows = block_text(view.figure, glyphs, stroke, stroke)
        cells.put_rows(cells.width - MARGIN - len(rows[0]), 1, rows, bold)
        cells.put(cells.width - MARGIN - len(view.caption), ROWS + 1, view.caption, bold)
        return ROWS + 1
    small = small_block_text(view.figure, glyphs)
    if cells.height >= SMALL_FIGURE_HEIGHT and len(small[1]) + len(view.caption) + 4 <= room:
        cells.put_rows(cells.width - MARGIN - len(small[1]), ROWS + 1, small, bold)
        cells.put(MARGIN + 2, ROWS + SMALL_ROWS, view.caption, bold)
        return ROWS + SMALL_ROWS
    figure = f"{view.figure} {view.caption}".rstrip()
    cells.put(cells.width - MARGIN - len(figure), ROWS + 1, figure, bold)
    return ROWS + 1


def _lines(cells: Cells, view: TileView, row: int, palette: Palette) -> None:
    """What comes next, what was noted, and as much of the sentence as there is room for."""
    plain = palette.tone(view.tone).style()
    width = max(1, cells.width - 2 * MARGIN)
    first = view.next_line or view.says
    texts = [first]
    if view.finding:
        texts.append(f"! {view.finding}")
    if view.says != first:
        texts.append(view.says)
    room = cells.height - row
    for place, text in enumerate(texts):
        # Each of the others is left a row.
        lines = wrap(text, width)[: max(1, room - (len(texts) - 1 - place))]
        for line in lines:
            if row < cells.height:
                cells.put(MARGIN, row, line, plain)
            row, room = row + 1, room - 1
