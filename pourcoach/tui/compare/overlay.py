"""Curves laid over each other, each drawn with the letter of its brew."""

from collections.abc import Sequence

from rich.style import Style

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.units import Grams, Seconds
from pourcoach.tui.renderables.axes import Extent, step_g, step_s
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import FLOOR, GUTTER, LEAST_HEIGHT, LEAST_WIDTH

HEADROOM = 1.06
LEAST_SPAN_S: Seconds = 5.0
LEAST_SPAN_G: Grams = 5.0

Curves = Sequence[Sequence[tuple[Seconds, Grams]]]


def draw_overlay(
    curves: Curves,
    letters: str,
    picked: int,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """The first brew and the one ``picked`` lie above all others. Letters, not colours,
    distinguish them; where two meet, the letter of the upper one stands.
    """
    cells = Cells(width, height, palette.on_ground(palette.dim))
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return cells
    extent = _extent(curves)
    columns, rows = width - GUTTER, height - FLOOR
    _draw_axes(cells, extent, columns, rows, glyphs, palette)
    order = [place for place in range(len(curves)) if place not in (0, picked)]
    for place in (*order, *dict.fromkeys((picked, 0))):
        style = curve_style(place, picked, palette)
        _draw_curve(cells, curves[place], letters[place], extent, columns, rows, style)
    return cells


def curve_style(place: int, picked: int, palette: Palette) -> Style:
    """Of a brew's curve and of its letter wherever it stands."""
    if place == 0:
        return palette.on_ground(palette.poured, bold=True)
    if place == picked:
        return palette.on_ground(palette.curve, bold=True)
    return palette.on_ground(palette.dim)


def _extent(curves: Curves) -> Extent:
    points = [point for curve in curves for point in curve]
    from_s = min((t_s for t_s, _ in points), default=0.0)
    span_s = max((t_s for t_s, _ in points), default=0.0) - from_s
    span_g = max((mass_g for _, mass_g in points), default=0.0) * HEADROOM
    return Extent(max(span_s, LEAST_SPAN_S) * 1.001, max(span_g, LEAST_SPAN_G), from_s)


def _draw_axes(
    cells: Cells, extent: Extent, columns: int, rows: int, glyphs: Glyphs, palette: Palette
) -> None:
    dim = palette.on_ground(palette.dim)
    for row in range(rows):
        cells.put(GUTTER - 1, row, glyphs.axis, dim)
    every_g = step_g(extent.span_g, rows)
    for mass_g in range(0, int(extent.span_g) + 1, every_g):
        row = rows - 1 - extent.height_of(mass_g, rows)
        if 0 <= row < rows:
            cells.put(0, row, f"{mass_g:>{GUTTER - 1}}{glyphs.tick}", dim)
    cells.put(GUTTER - 1, rows, glyphs.corner + glyphs.floor * columns, dim)
    every_s = step_s(extent.span_s, columns)
    for brew_s in range(0, int(extent.from_s + extent.span_s) + 1, every_s):
        column = extent.at(brew_s, columns)
        if column >= 0 and column + len(clock(brew_s)) <= columns:
            cells.put(GUTTER + column, rows, clock(brew_s), dim)


def _draw_curve(
    cells: Cells,
    curve: Sequence[tuple[Seconds, Grams]],
    letter: str,
    extent: Extent,
    columns: int,
    rows: int,
    style: Style,
) -> None:
    """A letter in each column, and in the rows that it rises through."""
    last: int | None = None
    for column, mass_g in enumerate(_by_column(curve, extent, columns)):
        if mass_g is None:
            continue
        row = min(max(0, rows - 1 - extent.height_of(mass_g, rows)), rows - 1)
        between = range(row, row + 1)
        if last is not None and abs(last - row) > 1:
            between = range(row, last) if row < last else range(last + 1, row + 1)
        for down in between:
            cells.put(GUTTER + column, down, letter, style)
        last = row


def _by_column(
    curve: Sequence[tuple[Seconds, Grams]], extent: Extent, columns: int
) -> list[Grams | None]:
    """The mass at the middle of each column, on a straight line between points; None beyond."""
    if not curve:
        return [None] * columns
    masses: list[Grams | None] = []
    after = 0
    for column in range(columns):
        at_s = extent.from_s + (column + 0.5) * extent.span_s / columns
        while after < len(curve) and curve[after][0] < at_s:
            after += 1
        if after in (0, len(curve)):
            masses.append(None)
            continue
        (t1_s, g1), (t2_s, g2) = curve[after - 1], curve[after]
        masses.append(g1 + (g2 - g1) * (at_s - t1_s) / (t2_s - t1_s))
    return masses
