"""A row of text: what comes next, which keys there are."""

from textwrap import wrap
from typing import TypeAlias

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.widgets.painted import Painted

MARGIN = 2

Keys: TypeAlias = tuple[tuple[str, str], ...]
"""(key, action) pairs."""


class TextRow(Painted):
    """A bright lead, text, and something at the right edge that gives way last. Where the widget is
    higher than a row, the text goes on below.
    """

    _lead = ""
    _text = ""
    _right = ""
    _loud = False

    def show(self, lead: str, text: str, right: str = "", *, loud: bool = False) -> None:
        """Show this from now on; ``loud`` in the colours of something to do."""
        self._lead, self._text, self._right, self._loud = lead, text, right, loud
        self.repaint()

    def rows_for(self, width: int) -> int:
        """Rows that all of the text takes in ``width`` columns."""
        return len(self._lines(width))

    def _lines(self, width: int) -> list[str]:
        room = width - self._text_at - MARGIN - (len(self._right) + 1 if self._right else 0)
        return wrap(self._text, max(1, room)) or [""]

    @property
    def _text_at(self) -> int:
        return MARGIN + (len(self._lead) + 2 if self._lead else 0)

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        if self._loud:
            plain, bold = palette.act.style(), palette.act.style(bold=True)
        else:
            plain = palette.on_ground(palette.text.ink)
            bold = palette.on_ground(palette.text.ink, bold=True)
        cells = Cells(width, height, plain)
        cells.put(MARGIN, 0, self._lead, bold)
        for row, line in enumerate(self._lines(width)[:height]):
            cells.put(self._text_at, row, line, plain)
        if self._right:
            cells.put(width - MARGIN - len(self._right) - 1, 0, f" {self._right}", bold)
        return cells


class KeyRow(Painted):
    """Keys and what they do, drawn by ourselves: Textual's Footer is blank while the terminal
    is unfocused. What does not fit is left out, the last pair (help) never.
    """

    _keys: Keys = ()

    def show(self, *keys: tuple[str, str]) -> None:
        """Show these (key, action) pairs from now on."""
        self._keys = keys
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        bold = palette.on_ground(palette.text.ink, bold=True)
        dim = palette.on_ground(palette.dim)
        cells = Cells(width, height, dim)
        column = MARGIN
        for key, action in fitting(self._keys, width - 2 * MARGIN):
            end = cells.put(column, 0, key, bold)
            column = cells.put(end + 1, 0, action, dim) + 2
        return cells


def fitting(keys: Keys, width: int) -> list[tuple[str, str]]:
    """The pairs that fit in ``width`` columns, the last one kept for the end."""
    kept: list[tuple[str, str]] = []
    used = 0
    for pair in (*keys[-1:], *keys[:-1]):
        needed = len(pair[0]) + 1 + len(pair[1]) + (2 if kept else 0)
        if used + needed > width:
            break
        used += needed
        kept.append(pair)
    return kept[1:] + kept[:1]
