"""The chart of one brew: target, band, and what is poured."""

from textual.strip import Strip

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.plot import LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.themes import palette_of
from pourcoach.tui.widgets.drawn import Drawn


class Chart(Drawn):
    """``append`` takes every Frame and keeps it for ``show``, which brings all to the screen: to go
    through twenty at once costs a fraction of twenty times one, for Python's code falls out of the
    processor's cache in between.
    """

    def __init__(self, glyphs: Glyphs, plan: Plan | None, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._glyphs = glyphs
        self._plan = plan
        self._extent = Extent.of_plan(plan)
        self._waiting: list[Frame] = []
        """Frames taken since the last ``show``."""
        self._trace = DrawnTrace()
        self._start_s: Seconds | None = None
        self._plot: Plot | None = None
        self._over = False

    @property
    def trace(self) -> DrawnTrace:
        """What was poured, without what was lifted off after the brew."""
        self._catch_up()
        return self._trace

    def append(self, frame: Frame) -> None:
        """Take the next Frame. Draws nothing yet."""
        self._waiting.append(frame)

    def _catch_up(self) -> None:
        waiting, self._waiting = self._waiting, []
        for frame in waiting:
            self._take(frame)

    def _take(self, frame: Frame) -> None:
        if self._over and frame.pour.phase is Phase.DONE:
            return  # What is lifted off the scale after the brew is no part of it.
        self._over = frame.pour.phase is Phase.DONE
        pour, mass_g = frame.pour, frame.weight_g
        if self._trace.follow(frame):
            self._forget()
            self._extent = self._extent_anew()
        if pour.plan is not None and pour.plan is not self._plan and pour.plan != self._plan:
            self._plan = pour.plan
            self._forget()
        if pour.brew_start_s is None:
            if self._start_s is not None:
                self._start_s = None
                self._forget()
            return
        self._move_start(pour.brew_start_s)
        brew_s = frame.t_s - pour.brew_start_s
        extent = self._extent.holding(brew_s, mass_g)
        if extent is not self._extent:
            self._extent = extent
            self._forget()
        if self._plot is not None:
            self._plot.add(brew_s, mass_g)

    def show(self) -> None:
        """Mark what has changed for the next update of the screen."""
        self._catch_up()
        if not self.is_mounted:
            return
        if self._plot is None:
            self.redraw()
        else:
            self.redraw(self._plot.take_changes())

    def forget(self) -> None:
        """Redraw everything in other colours."""
        self._forget()
        self.redraw()

    def on_resize(self) -> None:
        """Redraw everything at the new size."""
        self.forget()

    def row(self, y: int) -> Strip:
        width, height = self.room
        if width < LEAST_WIDTH or height < LEAST_HEIGHT:
            return Strip.blank(width, palette_of(self.app).text.style())
        if self._plot is None or (self._plot.width, self._plot.height) != self.room:
            self._plot = self._drawn(width, height)
        return self._plot.strip(y)

    def _forget(self) -> None:
        self._plot = None

    def _extent_anew(self) -> Extent:
        extent = Extent.of_plan(self._plan)
        if self._start_s is not None:
            for brew_s, mass_g in self._trace.since(self._start_s):
                extent = extent.holding(brew_s, mass_g)
        return extent

    def _move_start(self, start_s: Seconds) -> None:
        """Hindsight moves the first water a little: only what a pixel shows is worth a redraw."""
        moved = self._start_s is None or abs(start_s - self._start_s) > (
            0.0 if self._plot is None else self._plot.column_s() / 2
        )
        if moved:
            self._start_s = start_s
            self._forget()

    def _drawn(self, width: int, height: int) -> Plot:
        plot = Plot(width, height, self._extent, self._plan, self._glyphs, palette_of(self.app))
        if self._start_s is not None:
            for brew_s, mass_g in self._trace.since(self._start_s):
                plot.add(brew_s, mass_g)
        plot.take_changes()
        return plot
