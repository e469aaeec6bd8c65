"""The chart's canvas: a still layer built once, and a curve that touches only what it passes.

Redrawing whole charts 20 times a second costs ten times the bytes; so only cells that the curve
has entered since are reported as changed.
"""

from math import ceil, floor

from textual.strip import Strip

from pourcoach.coaching.course.bounds import tolerance_g
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.tui.renderables.axes import Extent, step_g, step_s
from pourcoach.tui.renderables.cells import Cells, Span
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette

GUTTER = 5
"""Columns left of the plot: a number of up to four digits and the axis."""
FLOOR = 1
"""Rows below the plot: the axis with its numbers."""
LEAST_WIDTH = GUTTER + 4
LEAST_HEIGHT = FLOOR + 2

_ACROSS, _DOWN = 2, 2
"""Pixels of a cell, in quadrant blocks."""
_DOTS_ACROSS, _DOTS_DOWN = 2, 4
"""Dots of a cell, in braille."""
_BRAILLE = 0x2800
# Bits of a braille pattern by row, left and right column (Unicode, chapter 21, Braille Patterns).
_BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_UPPER, _LOWER = 1, 2


class Plot:
    """One chart of one size. ``add`` takes points in order of time, counted from first water."""

    def __init__(
        self,
        width: int,
        height: int,
        extent: Extent,
        plan: Plan | None,
        glyphs: Glyphs,
        palette: Palette,
    ) -> None:
        """``width`` and ``height`` in cells, at least LEAST_WIDTH and LEAST_HEIGHT."""
        self.width = width
        self.height = height
        self.extent = extent
        self._glyphs = glyphs
        self._palette = palette
        self._columns = width - GUTTER
        self._rows = height - FLOOR
        self._cells = Cells(width, height, palette.on_ground(palette.dim))
        self._poured = [[0] * self._columns for _ in range(self._rows)]
        self._shade = [[0] * self._columns for _ in range(self._rows)]
        self._target = [[0] * self._columns for _ in range(self._rows)]
        self._last: tuple[int, int] | None = None
        self._touched: set[tuple[int, int]] = set()
        self._draw_axes()
        if plan is not None:
            self._lay_band(plan)
            self._lay_target(plan)
        for row in range(self._rows):
            for column in range(self._columns):
                if self._shade[row][column] or self._target[row][column]:
                    self._compose(column, row)

    def add(self, brew_s: Seconds, mass_g: Grams) -> None:
        """Draw the curve on to this point. What lies outside is held at the edge."""
        x = min(max(0, self._x(brew_s, _ACROSS)), self._columns * _ACROSS - 1)
        y = min(max(0, self._y(mass_g, _DOWN)), self._rows * _DOWN - 1)
        last_x, last_y = self._last or (x, y)
        self._last = (x, y)
        if x <= last_x:
            self._ink(x, last_y, y)
            return
        from_y = last_y
        for step in range(1, x - last_x + 1):
            to_y = round(last_y + (y - last_y) * step / (x - last_x))
            self._ink(last_x + step, from_y, to_y)
            from_y = to_y

    def mark(self, brew_s: Seconds, mass_g: Grams) -> None:
        """A dot of a target that is known only as far as this."""
        across, down = (_DOTS_ACROSS, _DOTS_DOWN) if self._glyphs.braille else (1, 1)
        x, y = self._x(brew_s, across), self._y(mass_g, down)
        if 0 <= x < self._columns * across and 0 <= y < self._rows * down:
            column, right = divmod(x, across)
            row, dot = divmod(y, down)
            self._target[row][column] |= _BRAILLE_BITS[dot][right]
            self._touched.add((column, row))

    def take_changes(self) -> list[Span]:
        """Cells touched since the last call, as one span a row."""
        spans: dict[int, Span] = {}
        for column, row in self._touched:
            self._compose(column, row)
            at = GUTTER + column
            span = spans.get(row, Span(row, at, at + 1))
            spans[row] = Span(row, min(span.start, at), max(span.end, at + 1))
        self._touched.clear()
        return sorted(spans.values())

    def strip(self, row: int) -> Strip:
        """A row for Textual."""
        return self._cells.strip(row)

    def text(self) -> str:
        """As plain text."""
        self.take_changes()
        return self._cells.text()

    def column_s(self) -> Seconds:
        """What one pixel across spans."""
        return self.extent.span_s / (self._columns * _ACROSS)

    def _moment(self, column: int, columns: int) -> Seconds:
        """In the middle of a column."""
        return self.extent.from_s + (column + 0.5) / columns * self.extent.span_s

    def _x(self, brew_s: Seconds, across: int) -> int:
        return self.extent.at(brew_s, self._columns * across)

    def _y(self, mass_g: Grams, down: int) -> int:
        """Pixels from the top."""
        pixels = self._rows * down
        return pixels - 1 - self.extent.height_of(mass_g, pixels)

    def _ink(self, x: int, from_y: int, to_y: int) -> None:
        """A stroke in one column of pixels, two pixels thick: upwards, so that 0 g is seen."""
        top, bottom = min(from_y, to_y), max(from_y, to_y)
        column, right = divmod(x, _ACROSS)
        for y in range(max(0, top - 1), bottom + 1):
            row, lower = divmod(y, _DOWN)
            bit = 1 << (2 * lower + right)
            if not self._poured[row][column] & bit:
                self._poured[row][column] |= bit
                self._touched.add((column, row))

    def _compose(self, column: int, row: int) -> None:
        glyphs, palette = self._glyphs, self._palette
        poured, shade = self._poured[row][column], self._shade[row][column]
        target = self._target[row][column]
        put = self._cells.put
        at = GUTTER + column
        over = palette.on_band if shade else palette.on_ground
        if poured:
            put(at, row, glyphs.quadrants[poured], over(palette.poured))
        elif target:
            put(at, row, glyphs.dot or chr(_BRAILLE + target), over(palette.curve))
        elif shade == _UPPER | _LOWER:
            put(at, row, " ", palette.on_band(palette.curve))
        elif glyphs.halves:
            edge = glyphs.upper if shade == _UPPER else glyphs.lower
            put(at, row, edge, palette.on_ground(palette.band))

    def _lay_band(self, plan: Plan) -> None:
        for column in range(self._columns):
            brew_s = self._moment(column, self._columns)
            target_g, band_g = plan.target_g(brew_s), _band_g(plan, brew_s)
            top = max(0, self._y(target_g + band_g, _DOWN))
            bottom = min(self._rows * _DOWN - 1, self._y(max(0.0, target_g - band_g), _DOWN))
            for y in range(top, bottom + 1):
                row, lower = divmod(y, _DOWN)
                self._shade[row][column] |= _LOWER if lower else _UPPER

    def _lay_target(self, plan: Plan) -> None:
        across, down = (_DOTS_ACROSS, _DOTS_DOWN) if self._glyphs.braille else (1, 1)
        last_y: int | None = None
        for x in range(self._columns * across):
            brew_s = self._moment(x, self._columns * across)
            y = min(max(0, self._y(plan.target_g(brew_s), down)), self._rows * down - 1)
            # A steep rise passes several dots in one column: from just past the last one on.
            top = y if last_y is None or y >= last_y else min(y, last_y - 1)
            bottom = y if last_y is None or y >= last_y else last_y - 1
            for each in range(top, bottom + 1):
                row, dot = divmod(each, down)
                column, right = divmod(x, across)
                self._target[row][column] |= _BRAILLE_BITS[dot][right]
            last_y = y

    def _draw_axes(self) -> None:
        glyphs, style = self._glyphs, self._palette.on_ground(self._palette.dim)
        floor_row = self._rows
        for row in range(self._rows):
            self._cells.put(GUTTER - 1, row, glyphs.axis, style)
        every_g = step_g(self.extent.span_g, self._rows)
        from_g, from_s = self.extent.from_g, self.extent.from_s
        first_g = every_g * (floor(from_g / every_g) + 1)
        for mass_g in range(first_g, int(from_g + self.extent.span_g) + 1, every_g):
            row = self._y(mass_g, 1)
            if 0 <= row < floor_row:
                self._cells.put(0, row, f"{mass_g:>{GUTTER - 1}}{glyphs.tick}", style)
        self._cells.put(GUTTER - 1, floor_row, glyphs.corner + glyphs.floor * self._columns, style)
        every_s = step_s(self.extent.span_s, self._columns)
        first_s = every_s * ceil(max(0.0, from_s) / every_s)
        for brew_s in range(first_s, int(from_s + self.extent.span_s) + 1, every_s):
            label = clock(brew_s)
            column = max(GUTTER, GUTTER + self._x(brew_s, 1) - (len(label) // 2 if brew_s else 0))
            if column + len(label) <= self._cells.width:
                self._cells.put(column, floor_row, label, style)


def _band_g(plan: Plan, brew_s: Seconds) -> Grams:
    begun = sum(stage.start_s <= brew_s for stage in plan.stages)
    return tolerance_g(plan, max(0, begun - 1))
