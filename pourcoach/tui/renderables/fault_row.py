"""Where in the brew something was noted: a row of marks above the chart of a review."""

from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.units import Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import GUTTER

FAULT_ROWS = 1


@dataclass(frozen=True, slots=True)
class FaultSpan:
    """Where a flag lies, counted from the first water."""

    start_s: Seconds
    end_s: Seconds
    hand: bool
    """Whether it is a fault of the hand; else the scale or the link was at fault."""


@dataclass(frozen=True, slots=True)
class MomentSign:
    """A mark or a note of the brewer's own."""

    at_s: Seconds
    """From first water."""
    sign: str
    """One character."""


def draw_fault_row(
    faults: Sequence[FaultSpan],
    moments: Sequence[MomentSign],
    span: tuple[float, float] | None,
    extent: Extent,
    width: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """Solid for what the hand did, a line for what befell the scale, letters for the brewer's own;
    the stage picked is lit. What lies outside of the chart is left out.
    """
    dim = palette.on_ground(palette.dim)
    cells = Cells(width, FAULT_ROWS, dim)
    columns = width - GUTTER
    if columns < 1:
        return cells

    def place(start_s: float, end_s: float) -> tuple[int, int]:
        first = min(max(0, extent.at(start_s, columns)), columns - 1)
        last = min(max(first, extent.at(end_s, columns)), columns - 1)
        return GUTTER + first, last - first + 1

    if span is not None:
        at, length = place(*span)
        cells.put(at, 0, glyphs.track * length, palette.target.style(bold=True))
    for fault in sorted(faults, key=lambda fault: fault.hand):
        if fault.end_s < extent.from_s or fault.start_s > extent.from_s + extent.span_s:
            continue
        at, length = place(fault.start_s, fault.end_s)
        style = palette.act.style(bold=True) if fault.hand else dim
        cells.put(at, 0, ("!" if fault.hand else glyphs.band) * length, style)
    ink = palette.on_ground(palette.text.ink, bold=True)
    for moment in moments:
        if extent.holds(moment.at_s):
            cells.put(place(moment.at_s, moment.at_s)[0], 0, moment.sign, ink)
    return cells
