"""The base of all widgets that draw their rows themselves."""

from collections.abc import Sequence

from textual.color import Color
from textual.errors import NoWidget
from textual.filter import ANSIToTruecolor, LineFilter
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from pourcoach.tui.renderables.cells import Span
from pourcoach.tui.themes import palette_of
from pourcoach.tui.widgets.rows_update import RowsUpdate


class Drawn(Widget, can_focus=False, inherit_bindings=False):
    """Its rows go to the terminal as they are: a stylesheet gives it a place and a size, and no
    border, padding or opacity. To look for those would cost a third of each draw.

    Rows are kept as they were sent. Textual asks every visible widget for all of its rows whenever
    one widget changes, and a new Strip costs more than the look into a list.
    """

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._strips_sent: list[Strip] = []
        self.room = Size(0, 0)
        """The size of the rows that are sent: Textual works out ``size`` anew each time."""
        self._sent_filters: Sequence[LineFilter] = ()
        self._stale: set[int] = set()
        """Of ``_strips_sent``, those to be drawn again."""

    def row(self, y: int) -> Strip:
        """A row, as wide as ``room``; blank below the last."""
        raise NotImplementedError

    def redraw(self, spans: Sequence[Span] | None = None, *, at_once: bool = False) -> None:
        """Mark what is shown as changed, only within ``spans`` if given. The next update of the
        terminal sends it, or this call does ``at_once``.
        """
        if spans is None:
            self._strips_sent = []
            self.refresh()
        elif spans:
            self._stale.update(span.row for span in spans)
            if not (at_once and self._sent(spans)):
                self.refresh(*regions_of(spans))

    def _sent(self, spans: Sequence[Span]) -> bool:
        """Send what a refresh leads to by two messages, a timer and the composing of all widgets,
        which cost twice the drawing and come some milliseconds later; False where something may
        cover it.
        """
        app, screen = self.app, self.screen
        if app.screen is not screen or app._batch_count:
            return False
        try:
            place = screen.find_widget(self)
        except NoWidget:
            return False
        if not place.clip.contains_region(place.region) or place.region.size != self.room:
            return False
        app._display(screen, RowsUpdate(place.region.offset, self._rows_sent(), spans))
        return True

    def forget(self) -> None:
        """Redraw everything, as after a change of colours."""
        self.redraw()

    def on_mount(self) -> None:
        self.app.theme_changed_signal.subscribe(self, lambda _: self.forget())

    def render_line(self, y: int) -> Strip:
        """Return one row, for Textual."""
        return self._rows_sent()[y]

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the part within ``crop``, for Textual."""
        rows = self._rows_sent()
        if crop.size == self.room:
            return rows
        start, end = crop.column_span
        return [rows[y].crop(start, end) for y in crop.line_range]

    def _rows_sent(self) -> list[Strip]:
        size, filters = self.size, self._filters()
        strips = self._strips_sent
        if len(strips) != size.height or size != self.room or filters != self._sent_filters:
            self.room, self._sent_filters = size, filters
            strips = self._strips_sent = [self._row_sent(y) for y in range(size.height)]
        else:
            for y in self._stale:
                strips[y] = self._row_sent(y)
        self._stale.clear()
        return strips

    def _filters(self) -> list[LineFilter]:
        """Those that change anything: no colour of a palette is an ANSI one."""
        return [one for one in self.get_line_filters() if not isinstance(one, ANSIToTruecolor)]

    def _row_sent(self, y: int) -> Strip:
        strip = self.row(y)
        if self._sent_filters:
            ground = Color.parse(palette_of(self.app).text.ground)
            for one in self._sent_filters:
                strip = strip.apply_filter(one, ground)
        return strip


def regions_of(spans: Sequence[Span]) -> list[Region]:
    """What encloses the spans, one region for rows that follow each other."""
    regions: list[Region] = []
    first, left, last, right = spans[0].row, spans[0].start, spans[0].row, spans[0].end
    for row, start, end in spans[1:]:
        if row == last + 1:
            left, last, right = min(left, start), row, max(right, end)
        else:
            regions.append(Region.from_corners(left, first, right, last + 1))
            first, left, last, right = row, start, row, end
    regions.append(Region.from_corners(left, first, right, last + 1))
    return regions
