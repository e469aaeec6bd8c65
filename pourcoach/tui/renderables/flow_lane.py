"""The flow along the brew, below the curve of its weight: what "uneven" looks like.

On the curve of weight a flow that wanders by a third is hardly seen.
"""

from collections.abc import Sequence

from pourcoach.domain.units import GramsPerSecond, Seconds
from pourcoach.reports.brew.flow_bands import FlowBand
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import GUTTER

FLOW_ROWS = 6
# Common practice: a hand pours 3 to 8 g/s. More where the brew had more.
LEAST_REACH_GPS: GramsPerSecond = 8.0
# A knock looks like far more; it must not press the pours flat.
MOST_REACH_GPS: GramsPerSecond = 20.0
_ACROSS, _DOWN = 2, 2


def draw_flow_lane(
    flows: Sequence[tuple[Seconds, GramsPerSecond]],
    bands: Sequence[FlowBand],
    extent: Extent,
    width: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """FLOW_ROWS rows, their columns below those of a chart of ``extent``. ``flows`` are in order;
    what runs back is no flow of water and drawn at 0.
    """
    dim = palette.on_ground(palette.dim)
    cells = Cells(width, FLOW_ROWS, dim)
    columns = max(0, width - GUTTER)
    shown = [(brew_s, flow) for brew_s, flow in flows if extent.holds(brew_s)]
    tops = [flow for _, flow in shown] + [band.mean_gps + band.half_gps for band in bands]
    reach = min(max(LEAST_REACH_GPS, *tops), MOST_REACH_GPS) if tops else LEAST_REACH_GPS
    cells.put(0, 0, f"{reach:.0f}".rjust(GUTTER - 1) + glyphs.tick, dim)
    for row in range(1, FLOW_ROWS):
        cells.put(GUTTER - 1, row, glyphs.axis, dim)
    cells.put(0, FLOW_ROWS // 2, "g/s".rjust(GUTTER - 1), dim)
    cells.put(0, FLOW_ROWS - 1, "0".rjust(GUTTER - 1) + glyphs.tick, dim)
    ink = _inked(shown, extent, columns, reach)
    for row in range(FLOW_ROWS):
        middle_gps = (FLOW_ROWS - row - 0.5) / FLOW_ROWS * reach
        for column in range(columns):
            brew_s = extent.from_s + (column + 0.5) / columns * extent.span_s
            inside = any(band.holds(brew_s, middle_gps) for band in bands)
            over = palette.on_band if inside else palette.on_ground
            mask = ink[row][column]
            if mask:
                cells.put(GUTTER + column, row, glyphs.quadrants[mask], over(palette.poured))
            elif inside:
                blank = glyphs.dot or " "
                cells.put(GUTTER + column, row, blank, over(palette.curve))
    return cells


def _inked(
    flows: Sequence[tuple[Seconds, GramsPerSecond]], extent: Extent, columns: int, reach: float
) -> list[list[int]]:
    """Masks of quadrants by row and column: a line through the flows."""
    pixels = FLOW_ROWS * _DOWN
    ink = [[0] * columns for _ in range(FLOW_ROWS)]
    last: tuple[int, int] | None = None
    for brew_s, flow_gps in flows:
        x = min(extent.at(brew_s, columns * _ACROSS), columns * _ACROSS - 1)
        y = min(max(0, pixels - 1 - int(max(0.0, flow_gps) / reach * pixels)), pixels - 1)
        last_x, last_y = last or (x, y)
        steps = max(1, x - last_x)
        for step in range(1, steps + 1):
            at = x if steps == 1 else last_x + step
            from_y = round(last_y + (y - last_y) * (step - 1) / steps)
            to_y = round(last_y + (y - last_y) * step / steps)
            for each in range(min(from_y, to_y), max(from_y, to_y) + 1):
                row, lower = divmod(each, _DOWN)
                column, right = divmod(at, _ACROSS)
                ink[row][column] |= 1 << (2 * lower + right)
        last = (x, y)
    return ink
