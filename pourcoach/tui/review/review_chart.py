"""The chart of a finished brew: what was noted above it, its flow and how far off it was below."""

from textual.strip import Strip

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.fault_row import FAULT_ROWS, draw_fault_row
from pourcoach.tui.renderables.flow_lane import FLOW_ROWS, draw_flow_lane
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.off_lane import LANE_ROWS, draw_off_lane, off_by_column
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import GUTTER, LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.review.review_view import ReviewView
from pourcoach.tui.widgets.still_chart import StillChart

BEFORE_S: Seconds = 2.0
AFTER_S: Seconds = 3.0
"""Around a stage that is shown large."""
MARGIN = 0.08
"""Of its water, above and below."""
LEAST_REACH_G: Grams = 10.0
LEAST_PLOT_ROWS = 5
"""Of the curve of weight, before it gives room to the flow."""
ROOMY_PLOT_ROWS = 8
"""Before it gives room to the weight off its target too."""


class ReviewChart(StillChart):
    """All of a brew, or the stage picked, large. Where there is too little height the lanes go
    first, that of the weight off its target before that of the flow.
    """

    def __init__(
        self,
        glyphs: Glyphs,
        plan: Plan | None,
        points: list[tuple[Seconds, Grams]],
        flows: list[tuple[Seconds, GramsPerSecond]],
        view: ReviewView,
        *,
        id: str | None = None,  # noqa: A002
    ) -> None:
        """``points`` are (seconds from first water, grams), in order; ``flows`` the same in g/s,
        empty where there is no flow of a hand to show.
        """
        super().__init__(glyphs, id=id)
        self._plan = plan
        self._points = points
        self._flows = flows
        self._view = view
        self._extent = Extent.of_plan(plan)
        for brew_s, mass_g in points:
            self._extent = self._extent.holding(brew_s, mass_g)

    def show(self, view: ReviewView) -> None:
        """Show this from now on."""
        self._view = view
        self.forget()

    def drawn(self, width: int, height: int, palette: Palette) -> list[Strip]:
        strips: list[Strip] = []
        if width >= LEAST_WIDTH and height >= FAULT_ROWS + LEAST_HEIGHT:
            view = self._view
            extent = self._extent if view.span is None else self._zoomed(view.span)
            strips += _strips(
                draw_fault_row(
                    view.faults, view.moments, view.span, extent, width, self._glyphs, palette
                )
            )
            room = height - FAULT_ROWS
            lanes = self._flow_lane(width, room, extent, palette)
            lanes += self._off_lane(width, room - len(lanes), extent, palette)
            plot = Plot(width, room - len(lanes), extent, self._plan, self._glyphs, palette)
            for brew_s, mass_g in self._points:
                if extent.holds(brew_s):
                    plot.add(brew_s, mass_g)
            plot.take_changes()
            strips += [plot.strip(row) for row in range(plot.height)]
            strips += lanes
        return strips

    def _zoomed(self, span: tuple[Seconds, Seconds]) -> Extent:
        """A little more than a stage, so that its beginning and its landing are seen."""
        from_s = max(0.0, span[0] - BEFORE_S)
        span_s = span[1] + AFTER_S - from_s
        inside = [mass_g for brew_s, mass_g in self._points if from_s <= brew_s <= from_s + span_s]
        if not inside:
            return self._extent
        reach_g = max(max(inside) - min(inside), LEAST_REACH_G)
        from_g = max(0.0, min(inside) - MARGIN * reach_g)
        return Extent(span_s, max(inside) + MARGIN * reach_g - from_g, from_s, from_g)

    def _flow_lane(self, width: int, room: int, extent: Extent, palette: Palette) -> list[Strip]:
        if not self._flows or room < FLOW_ROWS + LEAST_PLOT_ROWS:
            return []
        bands = self._view.bands
        return _strips(draw_flow_lane(self._flows, bands, extent, width, self._glyphs, palette))

    def _off_lane(self, width: int, room: int, extent: Extent, palette: Palette) -> list[Strip]:
        if self._plan is None or not self._points or room < LANE_ROWS + ROOMY_PLOT_ROWS:
            return []
        off_g = off_by_column(self._points, self._plan, extent, width - GUTTER)
        return _strips(draw_off_lane(off_g, width, self._glyphs, palette))


def _strips(cells: Cells) -> list[Strip]:
    return [cells.strip(row) for row in range(cells.height)]
