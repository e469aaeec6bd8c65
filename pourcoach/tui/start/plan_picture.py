"""A plan's target curve, and what was poured under it."""

from typing import TypeAlias

from textual.strip import Strip

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.widgets.still_chart import StillChart

Points: TypeAlias = tuple[tuple[Seconds, Grams], ...]
"""Seconds from first water, and grams by then."""


class PlanPicture(StillChart):
    """The chart of a brew: before anything is poured, or of a recording."""

    _plan: Plan | None = None
    _points: Points = ()

    def show(self, plan: Plan | None, points: Points = ()) -> None:
        """Show these from now on; without either nothing."""
        if plan != self._plan or points is not self._points:
            self._plan, self._points = plan, points
            self.forget()

    def drawn(self, width: int, height: int, palette: Palette) -> list[Strip]:
        nothing = self._plan is None and not self._points
        if nothing or width < LEAST_WIDTH or height < LEAST_HEIGHT:
            return []
        extent = Extent.of_plan(self._plan)
        for brew_s, mass_g in self._points:
            extent = extent.holding(brew_s, mass_g)
        plot = Plot(width, height, extent, self._plan, self._glyphs, palette)
        for brew_s, mass_g in self._points:
            plot.add(brew_s, mass_g)
        plot.take_changes()
        return [plot.strip(row) for row in range(plot.height)]
