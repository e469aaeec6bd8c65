"""Everything that the brew screen shows, arranged for the room there is."""

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widget import Widget

from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.tui.brew.brew_view import BrewView
from pourcoach.tui.brew.panels import ReadOuts, WordPanel
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.panel import BLOCK_HEIGHT
from pourcoach.tui.sizes import ScreenSize, use_size
from pourcoach.tui.widgets.chart import Chart
from pourcoach.tui.widgets.text_row import KeyRow, Keys, TextRow


class Middle(Horizontal):
    """The chart with the figures beside it, which leave nothing of it to be seen."""

    BLANK = True


class BrewBoard(Widget, can_focus=False, inherit_bindings=False):
    """``append`` takes every Frame for the chart; ``show`` draws one view."""

    # Its parts cover it. Textual works out what stands behind them with every update, and a blank
    # is the cheapest.
    BLANK = True

    DEFAULT_CSS = """
    BrewBoard { width: 100%; height: 100%; layout: vertical; overflow: hidden; }
    BrewBoard #panel { height: 10; }
    BrewBoard #next { height: 1; }
    BrewBoard #middle { height: 1fr; }
    BrewBoard #chart { width: 1fr; height: 100%; }
    BrewBoard #read-outs { width: 20; height: 100%; }
    BrewBoard #keys, BrewBoard #notice { height: 1; dock: bottom; }
    BrewBoard #notice { display: none; }
    BrewBoard.-noticed #notice { display: block; }
    BrewBoard.-noticed #keys { display: none; }

    BrewBoard.-planless #panel { height: 8; }
    BrewBoard.-full #read-outs { width: 22; }
    BrewBoard.-narrow #read-outs { display: none; }
    BrewBoard.-bare #middle, BrewBoard.-bare #next { display: none; }
    BrewBoard.-bare #panel { height: 1fr; }
    BrewBoard.-tiny #middle, BrewBoard.-tiny #next, BrewBoard.-tiny #keys,
    BrewBoard.-tiny #notice { display: none; }
    BrewBoard.-tiny #panel { height: 1fr; }
    """

    def __init__(self, glyphs: Glyphs, plan: Plan | None, view: BrewView) -> None:
        """``view`` is shown until another one is."""
        super().__init__()
        self._glyphs = glyphs
        self._plan = plan
        self._shown = view
        self._room = ScreenSize.COMPACT
        self._panel = WordPanel(glyphs, view, id="panel")
        self._next = TextRow(glyphs, id="next")
        self._chart = Chart(glyphs, plan, id="chart")
        self._read_outs = ReadOuts(glyphs, id="read-outs")
        self._notice = TextRow(glyphs, id="notice")
        self._keys = KeyRow(glyphs, id="keys")
        self.set_class(plan is None, "-planless")

    @property
    def keep_rows(self) -> int:
        """Rows from the top that a page of help may not cover: the word, and the bar if it can."""
        if self._room in (ScreenSize.BARE, ScreenSize.TINY):
            return BLOCK_HEIGHT
        return self._panel.size.height

    @property
    def word(self) -> Word:
        """The word that is shown."""
        return self._shown.word

    @property
    def trace(self) -> DrawnTrace:
        """What the chart was drawn from."""
        return self._chart.trace

    def compose(self) -> ComposeResult:
        yield self._panel
        yield self._next
        with Middle(id="middle"):
            yield self._chart
            yield self._read_outs
        yield self._notice
        yield self._keys

    def on_resize(self, event: events.Resize) -> None:
        self._room = use_size(self, event.size)
        self._show_view()

    def append(self, frame: Frame) -> None:
        """Take the next Frame. Draws nothing yet."""
        self._chart.append(frame)

    def show(self, view: BrewView, keys: Keys) -> None:
        """Draw what has changed since the last time."""
        self._shown = view
        self._keys.show(*keys)
        self._show_view()

    def show_figure(self, view: BrewView) -> None:
        """Draw only what is read while pouring, word, weight and bar, and send it at once. Few rows
        of the screen change then, and that costs a third of drawing all.
        """
        self._shown = view
        self._show_head(at_once=True)

    def _show_head(self, *, at_once: bool = False) -> None:
        tiny = self._room is ScreenSize.TINY
        self._panel.show(self._shown, bar=self._plan is not None, tiny=tiny, at_once=at_once)

    def _show_view(self) -> None:
        self._show_head()
        view = self._shown
        beside = [f"{view.flow} g/s  {view.time}"] if self._room is ScreenSize.NARROW else []
        if view.transport:
            beside.append(view.transport)
        self._next.show("NEXT" if view.next_line else "", view.next_line, "   ".join(beside))
        figures = (("FLOW g/s", view.flow), ("TIME", view.time))
        self._read_outs.show(*figures, *(() if self._plan is None else (("OFF g", view.off),)))
        self._chart.show()
        said = view.confirmed or view.notice
        self.set_class(said is not None, "-noticed")
        if view.confirmed is not None:
            self._notice.show(self._glyphs.marks[Word.DONE], view.confirmed)
        elif view.notice is not None:
            self._notice.show("!", view.notice, "? Help", loud=True)
        if said is not None:
            self._notice.styles.height = self._notice.rows_for(self.size.width)
