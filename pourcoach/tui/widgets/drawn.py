"""The base of all widgets that draw their rows themselves."""

from textual.color import Color
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from pourcoach.tui.themes import palette_of


class Drawn(Widget, can_focus=False, inherit_bindings=False):
    """Its rows go to the terminal as they are: a stylesheet gives it a place and a size, and no
    border, padding or opacity. To look for those would cost a third of each draw.
    """

    def row(self, y: int, start: int, end: int) -> Strip:
        """Columns ``start`` up to but not including ``end`` of a row; blank below the last."""
        raise NotImplementedError

    def forget(self) -> None:
        """Draw all anew, as when the colours have changed."""
        raise NotImplementedError

    def on_mount(self) -> None:
        self.app.theme_changed_signal.subscribe(self, lambda _: self.forget())

    def render_line(self, y: int) -> Strip:
        """Textual asks for a row."""
        return self.row(y, 0, self.size.width)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Textual asks for a part."""
        start, end = crop.column_span
        strips = [self.row(y, start, end) for y in crop.line_range]
        filters = self.get_line_filters()
        if filters:
            ground = Color.parse(palette_of(self.app).text.ground)
            for one in filters:
                strips = [strip.apply_filter(one, ground) for strip in strips]
        return strips
