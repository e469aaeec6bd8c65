"""Rows of one widget on their way to the terminal."""

from collections.abc import Iterator, Sequence

from rich.console import Console, ConsoleOptions, RenderResult
from rich.control import Control
from rich.segment import Segment
from textual._compositor import CompositorUpdate
from textual.geometry import Offset
from textual.strip import Strip

from pourcoach.tui.renderables.cells import Span


class RowsUpdate(CompositorUpdate):
    """What changed of a widget that nothing covers: it need not be composed with others."""

    def __init__(self, at: Offset, rows: Sequence[Strip], spans: Sequence[Span]) -> None:
        """``at`` is the widget's place on the screen, ``rows`` are all of its rows."""
        self._at = at
        self._rows = rows
        self._spans = spans

    def render_segments(self, console: Console) -> str:
        """Return what the terminal is sent, for Textual."""
        return "".join(to.text + cells.render(console) for to, cells in self._pieces())

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for to, cells in self._pieces():
            yield to
            yield from cells

    def _pieces(self) -> Iterator[tuple[Segment, Strip]]:
        """Where to go, and what to write there."""
        left, top = self._at
        for row, start, end in self._spans:
            to = Control.move_to(left + start, top + row).segment
            yield to, self._rows[row].crop(start, end)
