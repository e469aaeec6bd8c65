"""How far off the target the weight was, along the brew: a lane below the chart of a review.

The chart has some grams a pixel; what a stop a little late looks like can only be seen here.
"""

from collections.abc import Iterable

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import GUTTER

LANE_ROWS = 5
"""Two up, two down and the line between."""
# Twice the usual landing limit of 5 g; more where the brew was further off.
LEAST_REACH_G: Grams = 10.0
MOST_REACH_G: Grams = 40.0
_HALVES = 2


def off_by_column(
    points: Iterable[tuple[Seconds, Grams]], plan: Plan, extent: Extent, columns: int
) -> list[Grams | None]:
    """The mean distance from the target in each column of a chart; None where nothing is known.

    ``points`` are (seconds from first water, grams).
    """
    sums = [0.0] * columns
    counts = [0] * columns
    for brew_s, mass_g in points:
        column = extent.at(brew_s, columns)
        if 0 <= column < columns:
            sums[column] += mass_g - plan.target_g(brew_s)
            counts[column] += 1
    return [total / count if count else None for total, count in zip(sums, counts, strict=True)]


def draw_off_lane(off_g: list[Grams | None], width: int, glyphs: Glyphs, palette: Palette) -> Cells:
    """The lane, LANE_ROWS high, its columns below those of the chart."""
    dim = palette.on_ground(palette.dim)
    cells = Cells(width, LANE_ROWS, dim)
    known = [abs(value) for value in off_g if value is not None]
    reach_g = min(max(LEAST_REACH_G, *known), MOST_REACH_G) if known else LEAST_REACH_G
    middle = LANE_ROWS // 2
    over, under = f"+{reach_g:.0f} g", f"-{reach_g:.0f} g"
    cells.put(0, 0, over.rjust(GUTTER), dim)
    cells.put(0, middle, "OFF ".rjust(GUTTER), dim)
    cells.put(0, LANE_ROWS - 1, under.rjust(GUTTER), dim)
    style = palette.on_ground(palette.poured)
    for column, value in enumerate(off_g):
        at = GUTTER + column
        cells.put(at, middle, glyphs.track, dim)
        if value is None:
            continue
        halves = min(round(abs(value) / reach_g * middle * _HALVES), middle * _HALVES)
        for step in range(0, halves, _HALVES):
            whole = halves - step >= _HALVES or not glyphs.halves
            way = step // _HALVES + 1
            row = middle - way if value > 0 else middle + way
            half = glyphs.lower if value > 0 else glyphs.upper
            cells.put(at, row, glyphs.solid if whole else half, style)
    return cells
