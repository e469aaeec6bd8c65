"""A plan's target curve."""

from textual.strip import Strip
from textual.widget import Widget

from pourcoach.domain.plan import Plan
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.plot import LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.themes import palette_of


class PlanPicture(Widget, can_focus=False, inherit_bindings=False):
    """The chart of a brew before anything is poured."""

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._glyphs = glyphs
        self._plan: Plan | None = None
        self._plot: Plot | None = None

    def show(self, plan: Plan) -> None:
        """Show this plan from now on."""
        if plan != self._plan:
            self._plan = plan
            self.forget()

    def forget(self) -> None:
        """Draw anew: another plan, other colours."""
        self._plot = None
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Textual asks for a row."""
        width, height = self.size
        palette = palette_of(self.app)
        if self._plan is None or width < LEAST_WIDTH or height < LEAST_HEIGHT:
            return Strip.blank(width, palette.text.style())
        if self._plot is None or (self._plot.width, self._plot.height) != self.size:
            self._plot = Plot(
                width, height, Extent.of_plan(self._plan), self._plan, self._glyphs, palette
            )
        return self._plot.strip(y)
