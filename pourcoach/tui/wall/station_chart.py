"""The curve of one station: as on the brew screen where its plan is known, else what its tiles
said of target and weight."""

from textual.strip import Strip

from pourcoach.sharing.curve import StationCurve
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.plot import LEAST_HEIGHT, LEAST_WIDTH, Plot
from pourcoach.tui.themes import palette_of
from pourcoach.tui.widgets.drawn import Drawn


class StationChart(Drawn):
    """``show`` draws what a curve has gained; another curve, plan or extent redraws everything."""

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._glyphs = glyphs
        self._curve: StationCurve | None = None
        self._extent = Extent.of_plan(None)
        self._plot: Plot | None = None
        self._drawn_of: tuple[object, ...] = ()
        self._points = 0
        """Of the curve, that are drawn."""

    def show(self, curve: StationCurve | None) -> None:
        """Show this curve, as it is now, from now on."""
        self._curve = curve
        if self._bring_up():
            self.redraw()

    def forget(self) -> None:
        self._plot = None
        self.redraw()

    def on_resize(self) -> None:
        """Redraw everything at the new size."""
        self.forget()

    def row(self, y: int) -> Strip:
        if self._plot is None:
            self._bring_up()
        if self._plot is None or y >= self._plot.height:
            return Strip.blank(self.size.width, palette_of(self.app).text.style())
        return self._plot.strip(y)

    def _bring_up(self) -> bool:
        """Draw what is not drawn yet; whether anything changed."""
        curve, (width, height) = self._curve, self.size
        if curve is None or width < LEAST_WIDTH or height < LEAST_HEIGHT:
            changed = self._plot is not None
            self._plot = None
            return changed
        # Another thread may add to it meanwhile.
        cuts, plan = curve.cuts, curve.plan
        points = curve.points[:]
        extent = Extent.of_plan(plan)
        for point in points:
            extent = extent.holding(point.time_s, max(point.weight_g, point.target_g or 0.0))
        drawn_of = (id(curve), cuts, plan, extent, self.size)
        anew = self._plot is None or drawn_of != self._drawn_of
        if self._plot is None or anew:
            palette = palette_of(self.app)
            self._plot = Plot(width, height, extent, plan, self._glyphs, palette)
            self._drawn_of, self._points = drawn_of, 0
        for point in points[self._points :]:
            if plan is None and point.target_g is not None:
                self._plot.mark(point.time_s, point.target_g)
            self._plot.add(point.time_s, point.weight_g)
        self._points = len(points)
        return bool(self._plot.take_changes()) or anew
