"""The chart of a finished brew, what was noted above it and how far off it was below it."""

from textual.strip import Strip
from textual.widget import Widget

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.fault_row import FAULT_ROWS, draw_fault_row
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.off_lane import LANE_ROWS, draw_off_lane, off_by_column
from pourcoach.tui.renderables.plot import GUTTER, LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.review_view import ReviewView
from pourcoach.tui.themes import palette_of


class ReviewChart(Widget, can_focus=False, inherit_bindings=False):
    """Where there is too little height the lane goes first."""

    def __init__(
        self,
        glyphs: Glyphs,
        plan: Plan | None,
        points: list[tuple[Seconds, Grams]],
        view: ReviewView,
        *,
        id: str | None = None,  # noqa: A002
    ) -> None:
        """``points`` are (seconds from first water, grams), in order."""
        super().__init__(id=id)
        self._glyphs = glyphs
        self._plan = plan
        self._points = points
        self._view = view
        self._extent = Extent.of_plan(plan)
        for brew_s, mass_g in points:
            self._extent = self._extent.holding(brew_s, mass_g)
        self._strips: list[Strip] | None = None

    def show(self, view: ReviewView) -> None:
        """Show this from now on."""
        self._view = view
        self.forget()

    def forget(self) -> None:
        """Draw all anew: another value, other colours, another size."""
        self._strips = None
        self.refresh()

    def on_resize(self) -> None:
        self.forget()

    def render_line(self, y: int) -> Strip:
        """Textual asks for a row."""
        width, height = self.size
        if self._strips is None or len(self._strips) != height:
            self._strips = self._drawn(width, height)
        return self._strips[y] if y < height else Strip.blank(width)

    def _drawn(self, width: int, height: int) -> list[Strip]:
        palette = palette_of(self.app)
        strips: list[Strip] = []
        if width >= LEAST_WIDTH and height >= FAULT_ROWS + LEAST_HEIGHT:
            view = self._view
            strips += _strips(
                draw_fault_row(view.faults, view.span, self._extent, width, self._glyphs, palette)
            )
            lane = self._lane(width, height - FAULT_ROWS)
            plot = Plot(
                width,
                height - FAULT_ROWS - len(lane),
                self._extent,
                self._plan,
                self._glyphs,
                palette,
            )
            for brew_s, mass_g in self._points:
                plot.add(brew_s, mass_g)
            plot.take_changes()
            strips += [plot.strip(row) for row in range(plot.height)]
            strips += lane
        blank = Strip.blank(width, palette.text.style())
        return [*strips, *[blank] * (height - len(strips))]

    def _lane(self, width: int, room: int) -> list[Strip]:
        if self._plan is None or not self._points or room < LANE_ROWS + 2 * LEAST_HEIGHT:
            return []
        off_g = off_by_column(self._points, self._plan, self._extent, width - GUTTER)
        return _strips(draw_off_lane(off_g, width, self._glyphs, palette_of(self.app)))


def _strips(cells: Cells) -> list[Strip]:
    return [cells.strip(row) for row in range(cells.height)]
