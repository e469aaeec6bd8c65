"""A plan's target curve, and what was poured under it."""

from typing import TypeAlias

from textual.strip import Strip
from textual.widget import Widget

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.plot import LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.themes import palette_of

Points: TypeAlias = tuple[tuple[Seconds, Grams], ...]
"""Seconds from first water, and grams by then."""


class PlanPicture(Widget, can_focus=False, inherit_bindings=False):
    """The chart of a brew: before anything is poured, or of a recording."""

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._glyphs = glyphs
        self._plan: Plan | None = None
        self._points: Points = ()
        self._plot: Plot | None = None

    def show(self, plan: Plan | None, points: Points = ()) -> None:
        """Show these from now on; without either nothing."""
        if plan != self._plan or points is not self._points:
            self._plan, self._points = plan, points
            self.forget()

    def forget(self) -> None:
        """Draw anew: another plan, other colours."""
        self._plot = None
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Textual asks for a row."""
        width, height = self.size
        palette = palette_of(self.app)
        nothing = self._plan is None and not self._points
        if nothing or width < LEAST_WIDTH or height < LEAST_HEIGHT:
            return Strip.blank(width, palette.text.style())
        if self._plot is None or (self._plot.width, self._plot.height) != self.size:
            self._plot = self._drawn(width, height, palette)
        return self._plot.strip(y)

    def _drawn(self, width: int, height: int, palette: Palette) -> Plot:
        extent = Extent.of_plan(self._plan)
        for brew_s, mass_g in self._points:
            extent = extent.holding(brew_s, mass_g)
        plot = Plot(width, height, extent, self._plan, self._glyphs, palette)
        for brew_s, mass_g in self._points:
            plot.add(brew_s, mass_g)
        plot.take_changes()
        return plot
