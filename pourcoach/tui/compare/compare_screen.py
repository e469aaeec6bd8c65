"""Brews side by side: their curves over each other, and their figures with the differences."""

from enum import Enum
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message

from pourcoach.reports.comparison.comparison import MOST, Comparison
from pourcoach.reports.comparison.comparison_text import comparison_lines
from pourcoach.tui.compare.compare_view import CompareView, compare_view, table_lines
from pourcoach.tui.compare.overlay import curve_style, draw_overlay
from pourcoach.tui.dialogs.help_screen import WIDTH as PAGE_WIDTH
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.page import Page, Table
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.renderables.paragraphs import paragraph_rows
from pourcoach.tui.widgets.painted import Painted
from pourcoach.tui.widgets.paragraphs import Paragraphs
from pourcoach.tui.widgets.text_row import MARGIN, KeyRow

MOST_HEADLINE_ROWS = 2
HELP: Page = (
    "The curves lie over each other, each drawn with the letter of its brew: all of the brew, or"
    " one stage from its own first water.",
    "",
    "Differences are from A. One that is no larger than the error of measurement, two standard"
    " errors of both brews together, is called none.",
    "",
    Table(
        (
            ("space, 1-9", "the next stage, or one by its number"),
            ("0", "the whole brew"),
            ("left, right", "another brew against A, where not all fit"),
            ("a", "add a brew, up to six"),
            ("d", "all figures"),
            ("esc", "back"),
        )
    ),
)


class AfterCompare(Enum):
    """What is wanted after the comparison."""

    BACK = "back"
    ADD = "add"


class BrewLines(Painted):
    """A line a brew; posts Picked when one is clicked."""

    class Picked(Message):
        """A brew was clicked."""

        def __init__(self, place: int) -> None:
            super().__init__()
            self.place = place

    def __init__(self, glyphs: Glyphs, view: CompareView) -> None:
        super().__init__(glyphs, id="brews")
        self._view = view

    def show(self, view: CompareView) -> None:
        self._view = view
        self.repaint()

    def on_click(self, event: events.Click) -> None:
        if 1 <= event.y < len(self._view.brews):
            event.stop()
            self.post_message(self.Picked(event.y))

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        cells = Cells(width, height, palette.on_ground(palette.text.ink))
        for row, line in enumerate(self._view.brews):
            cells.put(MARGIN, row, line, curve_style(row, self._view.picked, palette))
        return cells


class Overlay(Painted):
    """The curves."""

    def __init__(self, glyphs: Glyphs, view: CompareView) -> None:
        super().__init__(glyphs, id="overlay")
        self._view = view

    def show(self, view: CompareView) -> None:
        self._view = view
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        view = self._view
        return draw_overlay(
            view.curves, view.letters, view.picked, width, height, self.glyphs, palette
        )


class Figures(Painted):
    """The table of the part that is shown."""

    def __init__(self, glyphs: Glyphs, view: CompareView) -> None:
        super().__init__(glyphs, id="figures")
        self._view = view

    def show(self, view: CompareView) -> None:
        self._view = view
        self.styles.height = len(view.cells) + 1
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        dim, ink = palette.on_ground(palette.dim), palette.on_ground(palette.text.ink)
        cells = Cells(width, height, ink)
        cells.put(MARGIN, 0, self._view.part, palette.on_ground(palette.text.ink, bold=True))
        for row, line in enumerate(table_lines(self._view, width - 2 * MARGIN)):
            cells.put(MARGIN, row + 1, line, ink if row else dim)
        return cells


class CompareScreen(LeavesOnce[AfterCompare]):
    """Shows a comparison and gives what is wanted next."""

    DEFAULT_CSS = """
    CompareScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    CompareScreen #overlay { height: 1fr; }
    CompareScreen #compare-keys { height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "next", "Next stage", priority=True),
        *(
            Binding(str(number), f"part({number})", show=False, priority=True)
            for number in range(1, 10)
        ),
        Binding("0", "part(0)", "Whole brew", priority=True),
        Binding("left", "pick(-1)", "The brew before against A", priority=True),
        Binding("right", "pick(1)", "The next brew against A", priority=True),
        Binding("a", "add", "Add a brew", priority=True),
        Binding("d", "details", "All figures", priority=True),
        Binding("escape,q", "back", "Back", priority=True),
        Binding("question_mark", "help", "Help", priority=True),
    ]
    ALLOW_SELECT = False

    def __init__(
        self, comparison: Comparison, glyphs: Glyphs = FULL, *, can_add: bool = False
    ) -> None:
        super().__init__()
        self._comparison = comparison
        self._glyphs = glyphs
        self._can_add = can_add and len(comparison.brews) < MOST
        self._part = 0
        self._picked = 1
        view = compare_view(comparison, 0, 1)
        self._brews = BrewLines(glyphs, view)
        self._brews.styles.height = len(view.brews)
        self._headline = Paragraphs(glyphs, id="headline")
        self._overlay = Overlay(glyphs, view)
        self._figures = Figures(glyphs, view)
        self._keys = KeyRow(glyphs, id="compare-keys")

    def compose(self) -> ComposeResult:
        yield self._brews
        yield self._headline
        yield self._overlay
        yield self._figures
        yield self._keys

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self._show()

    def _show(self) -> None:
        view = compare_view(self._comparison, self._part, self._picked)
        rows = paragraph_rows(view.headline, self.size.width)
        self._headline.styles.height = min(rows, MOST_HEADLINE_ROWS)
        self._headline.show(view.headline)
        for widget in (self._brews, self._overlay, self._figures):
            widget.show(view)
        several = len(self._comparison.brews) > 2
        self._keys.show(
            ("space", "Stages"),
            *(((self._glyphs.left_right, "Brew"),) if several else ()),
            *((("a", "Add"),) if self._can_add else ()),
            ("d", "Figures"),
            ("esc", "Back"),
            ("?", "Help"),
        )

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What cannot be done here has no key."""
        if action == "add":
            return self._can_add
        return super().check_action(action, parameters)

    def on_brew_lines_picked(self, event: BrewLines.Picked) -> None:
        self._picked = event.place
        self._show()

    def on_click(self) -> None:
        """A click anywhere else is the main action."""
        self.action_next()

    def action_next(self) -> None:
        """From the whole brew through the stages and back to the whole."""
        self.action_part((self._part + 1) % len(self._comparison.parts))

    def action_part(self, part: int) -> None:
        """Show the stage of that number, 0 the whole brew."""
        if part < len(self._comparison.parts):
            self._part = part
            self._show()

    def action_pick(self, by: int) -> None:
        """Set another brew against the first."""
        others = len(self._comparison.brews) - 1
        self._picked = (self._picked - 1 + by) % others + 1
        self._show()

    def action_details(self) -> None:
        lines = comparison_lines(self._comparison, PAGE_WIDTH)
        self.app.push_screen(HelpScreen("\n".join(lines)))

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(HELP))

    def action_add(self) -> None:
        self.dismiss(AfterCompare.ADD)

    def action_back(self) -> None:
        self.dismiss(AfterCompare.BACK)
