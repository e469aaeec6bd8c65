"""The wall: what every station is asked to do, ten times a second, and what can be asked of
them."""

import asyncio
from collections.abc import Sequence
from contextlib import suppress
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.sharing.seen import CurveBoard
from pourcoach.tui.brew.panels import ReadOuts
from pourcoach.tui.dialogs.dialogs import AskScreen, NoteScreen, QuestionScreen
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.puts_away import PutsAway
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.wall.station_chart import StationChart
from pourcoach.tui.wall.tile_view import TileView, tile_view
from pourcoach.tui.wall.wall_class import WallClass
from pourcoach.tui.wall.wall_grid import WallGrid
from pourcoach.tui.wall.wall_keys import BINDINGS, wall_page
from pourcoach.tui.widgets.text_row import KeyRow, Keys, TextRow

# One look at the whole class takes longer than a tenth of a second.
DRAWS_PER_S = 10
# Below the tile of eleven rows a curve of fewer than six says nothing.
LEAST_WHOLE_HEIGHT = 18
LEAST_READ_OUTS_WIDTH = 60


class WallScreen(PutsAway[None]):
    """Shows a Board. With a class of this machine it starts it, and puts it away at the end."""

    DEFAULT_CSS = """
    WallScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    WallScreen #wall { width: 100%; height: 1fr; }
    WallScreen #whole { height: 1fr; display: none; }
    WallScreen #chart { width: 1fr; height: 100%; }
    WallScreen #read-outs { width: 20; height: 100%; }
    WallScreen.-whole #whole { display: block; }
    WallScreen.-whole #wall { height: 11; }
    WallScreen.-whole.-narrow #read-outs { display: none; }
    WallScreen #keys, WallScreen #notice { height: 1; dock: bottom; }
    WallScreen #notice { display: none; }
    WallScreen.-noticed #notice { display: block; }
    WallScreen.-noticed #keys { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = BINDINGS
    ALLOW_SELECT = False

    def __init__(self, board: CurveBoard, asked: WallClass | None, glyphs: Glyphs = FULL) -> None:
        """``asked`` is None where the stations are other machines'."""
        super().__init__()
        self._board = board
        self._class = asked
        self._glyphs = glyphs
        self._names = True
        self._whole = False
        self._selected: int | None = None
        self._views: Sequence[TileView] = ()
        self._grid = WallGrid(glyphs, id="wall")
        self._chart = StationChart(glyphs, id="chart")
        self._read_outs = ReadOuts(glyphs, id="read-outs")
        self._notice = TextRow(glyphs, id="notice")
        self._keys = KeyRow(glyphs, id="keys")

    def compose(self) -> ComposeResult:
        yield self._grid
        with Horizontal(id="whole"):
            yield self._chart
            yield self._read_outs
        yield self._notice
        yield self._keys

    def on_mount(self) -> None:
        self.set_interval(1 / DRAWS_PER_S, self._draw)
        if self._class is not None:
            self._class.start()
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        if not self.is_mounted:
            return
        self._views = [tile_view(seen, names=self._names) for seen in self._board.seen()]
        if self._selected is not None and self._selected >= len(self._views):
            self._selected = None
        self._whole = self._whole and self._selected is not None
        self._grid.show(self._views, self._selected, whole=self._whole)
        self._draw_whole()
        self._keys.show(*self._key_list())
        notice = self._board.notice
        self.set_class(notice is not None, "-noticed")
        if notice is not None:
            self._notice.show("!", notice, "? Help", loud=True)
            self._notice.styles.height = self._notice.rows_for(self.size.width)

    def _draw_whole(self) -> None:
        """The selected station's curve and figures, below its tile where there is room."""
        width, height = self.size
        shown = self._whole and height >= LEAST_WHOLE_HEIGHT
        self.set_class(shown, "-whole")
        self.set_class(width < LEAST_READ_OUTS_WIDTH, "-narrow")
        if shown and self._selected is not None:
            view = self._views[self._selected]
            self._chart.show(self._board.curve(view.name))
            self._read_outs.show(("FLOW g/s", view.flow), ("TIME", view.time), ("OFF g", view.off))

    def _key_list(self) -> Keys:
        whom = "all" if self._selected is None else self._views[self._selected].name
        page, pages = self._grid.page
        asks: Keys = ()
        if self._class is not None:
            asks = (("s", f"Start {whom}"), ("f", f"Finish {whom}"), ("n", f"Note on {whom}"))
            asking = [view.name for view in self._views if self._class.asks(view.name)]
            if asking:
                asks = (("e", f"Estimate of {', '.join(asking)}"), *asks)
        arrows = f"{self._glyphs.left_right} {self._glyphs.up_down}"
        return (
            *asks,
            ("space", "All stations" if self._whole else "Whole"),
            (arrows, "Select" if pages == 1 else f"Select (page {page} of {pages})"),
            ("h", "Hide names" if self._names else "Show names"),
            ("q", "Quit"),
            ("?", "Help"),
        )

    # Selecting

    def action_move(self, by: int) -> None:
        """On or back by so many stations."""
        if self._views:
            at = -1 if self._selected is None and by > 0 else self._selected or 0
            self._selected = (at + by) % len(self._views)
            self._draw()

    def action_move_row(self, by: int) -> None:
        """Down or up by so many rows of tiles."""
        if self._views:
            at = 0 if self._selected is None else self._selected + by * self._grid.columns
            if 0 <= at < len(self._views):
                self._selected = at
            self._draw()

    def action_whole(self) -> None:
        """The selected station alone, or all again."""
        if self._selected is None and self._views:
            self._selected = 0
        self._whole = not self._whole
        self._draw()

    def action_names(self) -> None:
        """For the projector."""
        self._names = not self._names
        self._draw()

    # Asking

    @property
    def _whom(self) -> str | None:
        return None if self._selected is None else self._views[self._selected].name

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Other machines' stations can only be looked at."""
        if action in ("start", "finish", "tare", "note", "turn", "estimate"):
            return self._class is not None
        return super().check_action(action, parameters)

    def action_start(self) -> None:
        if self._class is not None:
            self._class.start(self._whom)

    def action_tare(self) -> None:
        if self._class is not None:
            self._class.tare(self._whom)

    def action_finish(self) -> None:
        """Asked about first: water may be running."""
        asked, whom = self._class, self._whom
        if asked is None:
            return

        def answered(yes: bool | None) -> None:
            if yes:
                asked.finish(whom)

        what = "all brews" if whom is None else f"the brew of station {whom}"
        self.app.push_screen(QuestionScreen(f"Finish {what}? It is kept."), answered)

    def action_note(self) -> None:
        asked, whom = self._class, self._whom
        if asked is None:
            return

        def take(text: str | None) -> None:
            if text:
                asked.note(text, whom)

        self.app.push_screen(NoteScreen(), take)

    def action_turn(self) -> None:
        if self._class is not None:
            self._class.turn(self._whom)

    def action_estimate(self) -> None:
        """Of the selected station, or of the only one that waits for it."""
        asked = self._class
        if asked is None:
            return
        waiting = {view.name: view.says for view in self._views if asked.asks(view.name)}
        whom = self._whom if self._whom in waiting else None
        if whom is None and len(waiting) == 1:
            (whom,) = waiting
        if whom is None:
            return

        def take(text: str | None) -> None:
            # What is no number is asked for again: the key is still there.
            with suppress(UsageError):
                asked.estimate(read_number(text or ""), whom)

        self.app.push_screen(AskScreen(f"Station {whom}: {waiting[whom]}"), take)

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(wall_page(asks=self._class is not None)))

    # Leaving

    @property
    def brewing(self) -> bool:
        """Whether leaving now would cut a brew short."""
        return self._class is not None and self._class.brewing

    def action_stop(self) -> None:
        """Ctrl+C while somebody brews: stop and save all; the wall stays."""
        if self._class is not None:
            self.run_worker(self._class.close(), name="stopping")

    def action_back(self) -> None:
        """From one station to all, from one selected to none, and then out."""
        if self._whole:
            self._whole = False
        elif self._selected is not None:
            self._selected = None
        else:
            self.action_leave()
        self._draw()

    def action_leave(self) -> None:
        if not self.brewing:
            self.leave_with(None)
            return

        def answered(yes: bool | None) -> None:
            if yes:
                self.leave_with(None)

        self.app.push_screen(QuestionScreen("Stop all brews? What is recorded is kept."), answered)

    async def put_away(self) -> None:
        if self._class is not None:
            await asyncio.shield(self._class.close())
