"""Prose in a box."""

from collections.abc import Sequence
from textwrap import wrap

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.palette import Palette

MARGIN = 2


def paragraph_rows(paragraph: str, width: int) -> int:
    """Rows that one paragraph takes."""
    return len(wrap(paragraph, max(1, width - 2 * MARGIN)))


def draw_paragraphs(
    paragraphs: Sequence[str], width: int, height: int, more: str, palette: Palette
) -> Cells:
    """Wrapped, a blank line between; where they do not fit, ``more`` stands in the last row."""
    ink = palette.on_ground(palette.text.ink)
    cells = Cells(width, height, ink)
    inside = max(1, width - 2 * MARGIN)
    lines: list[str] = []
    for paragraph in paragraphs:
        lines += [*([""] if lines else []), *wrap(paragraph, inside)]
    if len(lines) > height:
        lines = [*lines[: max(0, height - 1)], more]
    for row, line in enumerate(lines):
        cells.put(MARGIN, row, line, ink)
    return cells
