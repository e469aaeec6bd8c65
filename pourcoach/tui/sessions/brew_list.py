"""The list of brews: as many rows as fit are drawn, however many there are."""

from collections.abc import Sequence

from rich.style import Style
from textual import events
from textual.message import Message

from pourcoach.library.records import Brew
from pourcoach.session.kept.rows import HEADINGS, NUMBERS, row
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.widgets.painted import Painted

MARGIN = 3
MARK = "*"
"""Beside what is marked, where colours are not seen."""
SCROLLED_ROWS = 3
"""A notch of the wheel; common practice."""
_GAP = 2
# By heading: columns at most, and the least width of the list with room for it.
_COLUMNS = {
    "WHEN": (16, 0),
    "WHO": (12, 0),
    "COFFEE": (14, 96),
    "VERDICT": (14, 0),
    "MARKS": (8, 56),
    "WATER": (5, 96),
    "TIME": (4, 66),
    "TDS": (6, 72),
    "TITLE": (40, 72),
}


class BrewList(Painted):
    """Posts Picked for the row clicked, Opened where it was picked already, and Scrolled."""

    class Picked(Message):
        """A row was clicked; ``marked`` with a key held down."""

        def __init__(self, index: int, *, marked: bool) -> None:
            super().__init__()
            self.index = index
            self.marked = marked

    class Opened(Message):
        """The row that is picked was clicked."""

    class Scrolled(Message):
        """The wheel was turned over so many rows."""

        def __init__(self, rows: int) -> None:
            super().__init__()
            self.rows = rows

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self._brews: Sequence[Brew] = ()
        self._marked: frozenset[int] = frozenset()
        self._at = 0
        self._first = 0

    def show(self, brews: Sequence[Brew], at: int, marked: frozenset[int]) -> None:
        """Show these from now on, the one at ``at`` picked and those of these numbers marked."""
        self._brews, self._at, self._marked = brews, at, marked
        self.repaint()

    @property
    def rows(self) -> int:
        """How many brews are in sight."""
        return max(1, self.size.height - 1)

    def on_click(self, event: events.Click) -> None:
        event.stop()
        index = self._first + event.y - 1
        if event.y < 1 or index >= len(self._brews):
            return
        marked = event.shift or event.ctrl or event.meta
        if index == self._at and not marked:
            self.post_message(self.Opened())
        else:
            self.post_message(self.Picked(index, marked=marked))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self.post_message(self.Scrolled(SCROLLED_ROWS))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self.post_message(self.Scrolled(-SCROLLED_ROWS))

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        plain = palette.on_ground(palette.text.ink)
        cells = Cells(width, height, plain)
        rows = max(0, height - 1)
        # As it stood, unless what is picked would be out of sight.
        self._first = min(self._first, self._at, max(0, len(self._brews) - rows))
        self._first = max(self._first, self._at - rows + 1, 0)
        seen = self._brews[self._first : self._first + rows]
        columns = [name for name in HEADINGS if name in _COLUMNS and width >= _COLUMNS[name][1]]
        texts = [dict(zip(HEADINGS, row(brew), strict=True)) for brew in seen]
        widths = {
            name: min(_COLUMNS[name][0], max(len(name), *(len(one[name]) for one in texts), 0))
            for name in columns
        }
        dim = palette.on_ground(palette.dim)
        self._put(cells, 0, dict.fromkeys(columns, ""), widths, dim, headings=True)
        for down, (brew, cell) in enumerate(zip(seen, texts, strict=True), 1):
            picked = self._first + down - 1 == self._at
            style = palette.target.style(bold=True) if picked else plain
            if picked:
                cells.fill(down, style)
                cells.put(0, down, self.glyphs.running, style)
            if brew.number in self._marked:
                cells.put(1, down, MARK, style)
            self._put(cells, down, cell, widths, style)
        return cells

    def _put(
        self,
        cells: Cells,
        down: int,
        texts: dict[str, str],
        widths: dict[str, int],
        style: Style,
        *,
        headings: bool = False,
    ) -> None:
        column = MARGIN
        for name, width in widths.items():
            text = name if headings else texts[name]
            if len(text) > width:
                text = text[: width - 1] + ("…" if self.glyphs.halves else "~")
            flush = text.rjust(width) if HEADINGS.index(name) in NUMBERS else text
            cells.put(column, down, flush, style)
            column += width + _GAP
