"""All brews that are kept: found, looked at, compared, noted on, deleted and taken back."""

from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType

from pourcoach.domain.errors import PourcoachError
from pourcoach.library.records import Brew, Search
from pourcoach.tui.dialogs.dialogs import AskScreen
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.sessions.actions import BrewActions
from pourcoach.tui.sessions.brew_list import BrewList
from pourcoach.tui.sessions.judging import Judging, joined
from pourcoach.tui.sessions.opening import Opening
from pourcoach.tui.sessions.preview import Preview
from pourcoach.tui.sessions.said import cup_screen, say_of_all, tags_in
from pourcoach.tui.sessions.selection import BrewSelection
from pourcoach.tui.sessions.sessions_keys import BINDINGS, KEYS, PAGE
from pourcoach.tui.sessions.shelf import Shelf
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH, ScreenSize, use_size
from pourcoach.tui.widgets.text_row import KeyRow, TextRow
from pourcoach.wording.figures import how_many

FEWEST_COMPARED, MOST_COMPARED = 2, 6
MOST_AT_ONCE = 200
"""Brews: more than a screen is high."""


class SessionsScreen(LeavesOnce[bool]):
    """Gives whether the whole program is to be left."""

    DEFAULT_CSS = """
    SessionsScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    SessionsScreen #sessions-head, SessionsScreen #sessions-keys { height: 1; }
    SessionsScreen #brews { height: 1fr; }
    SessionsScreen #preview { height: 8; }
    SessionsScreen.-full #preview { height: 13; }
    SessionsScreen.-narrow #curve { display: none; }
    SessionsScreen.-narrow #preview { height: 5; }
    SessionsScreen.-bare #preview { display: none; }
    SessionsScreen.-tiny #brews, SessionsScreen.-tiny #preview,
    SessionsScreen.-tiny #sessions-keys { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = BINDINGS
    ALLOW_SELECT = False

    def __init__(self, shelf: Shelf, actions: BrewActions, glyphs: Glyphs = FULL) -> None:
        super().__init__()
        self._shelf = shelf
        self._actions = actions
        self._glyphs = glyphs
        self._search = ""
        self._selection = BrewSelection()
        self._deleted: list[list[Brew]] = []
        self._opening = Opening(self, shelf, self._selection, self._show, self._fail)
        self._notice = "Reading the library."
        self._tiny = False
        self._looked = False
        self._judging: Judging | None = None
        self._head = TextRow(glyphs, id="sessions-head")
        self._list = BrewList(glyphs, id="brews")
        self._preview = Preview(glyphs, id="preview")
        self._keys = KeyRow(glyphs, id="sessions-keys")

    def compose(self) -> ComposeResult:
        yield self._head
        yield self._list
        yield self._preview
        yield self._keys

    def on_mount(self) -> None:
        self._show()

    def on_screen_resume(self) -> None:
        """Begun, or back from another screen, where something may have been noted."""
        self._load("" if self._looked else None)
        if not self._looked:
            self._looked = True
            off_loop(self, self._shelf.look, self._looked_through, self._fail)

    def on_resize(self, event: events.Resize) -> None:
        self._tiny = use_size(self, event.size) is ScreenSize.TINY
        self._show()

    def on_unmount(self) -> None:
        if self._judging:
            self._judging.stop()

    # From the library

    def _load(self, notice: str | None = "") -> None:
        """Read the list again; what was picked stays picked. The first brews are there at once,
        and all ten thousand soon. A ``notice`` of None leaves the one that is shown by then.
        """
        search, take = Search(text=self._search), partial(self._take, notice)
        if not self._selection.brews:
            off_loop(self, partial(self._shelf.brews, search, MOST_AT_ONCE), take, self._fail)
        off_loop(self, partial(self._shelf.brews, search), take, self._fail)

    def _take(self, notice: str | None, brews: list[Brew]) -> None:
        picked = self._selection
        picked.take(brews)
        if notice is not None:
            self._notice = notice
        self._opening.look()
        self._show()

    def _looked_through(self, sentences: list[str]) -> None:
        self._load(joined(sentences))
        self._judging = Judging(self, self._shelf, lambda: self._load(None), self._load, self._fail)

    def _fail(self, error: PourcoachError) -> None:
        self._notice = str(error)
        self._show()

    # To the screen

    def _show(self) -> None:
        if not self.is_mounted:
            return
        picked = self._selection
        found = f" with '{self._search}'" if self._search else ""
        marked = f", {len(picked.marked)} marked" if picked.marked else ""
        judging = self._judging.text if self._judging else ""
        count = f"{how_many(len(picked.brews), 'brew')}{found}{marked}"
        text, order = self._notice or count, f"{judging}by {picked.order.value}"
        if self._tiny:
            self._head.show("", f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}")
        else:
            self._head.show("SESSIONS", text, order, loud=bool(self._notice))
        self._list.show(picked.brews, picked.at, picked.marked)
        self._preview.show(picked.picked, self._opening.opened, self._search)
        self._keys.show(*(("u", "Undo"), *KEYS) if self._deleted else KEYS)

    def _show_notice(self, sentence: str) -> None:
        self._notice = sentence
        self._show()

    # Keys and mouse

    def on_brew_list_picked(self, event: BrewList.Picked) -> None:
        self._go_to(event.index)
        if event.marked:
            self._selection.mark()
            self._show()

    def on_brew_list_opened(self) -> None:
        self.action_open()

    def on_brew_list_scrolled(self, event: BrewList.Scrolled) -> None:
        self._go_to(self._selection.at + event.rows)

    def _go_to(self, index: int) -> None:
        if self._selection.go_to(index):
            self._opening.moved()
        self._notice = ""
        self._show()
        self._opening.look()

    def action_move(self, way: int) -> None:
        self._go_to(self._selection.at + way)

    def action_page(self, way: int) -> None:
        self._go_to(self._selection.at + way * self._list.rows)

    def action_jump(self, index: int) -> None:
        self._go_to(index if index >= 0 else len(self._selection.brews) - 1)

    def action_mark(self) -> None:
        self._selection.mark()
        self._go_to(self._selection.at + 1)

    def action_search(self) -> None:
        def answered(text: str | None) -> None:
            if text is not None:
                self._search = text
                self._load()

        question = "Search: who, coffee, date, finding, tag, words of notes. Empty: all"
        self.app.push_screen(AskScreen(question, self._search), answered)

    def action_order(self) -> None:
        self._selection.sort_otherwise()
        self._go_to(self._selection.at)

    def _there(self) -> Path | None:
        """The recording of the brew that is picked; None, with a notice, where it is gone."""
        brew = self._selection.picked
        if brew is None:
            return None
        if brew.is_missing:
            self._show_notice("Its recording is gone; put it back to look at it.")
            return None
        return brew.tape

    def action_open(self) -> None:
        tape = self._there()
        if tape is not None:
            self._show_notice("Reading the recording.")
            self._actions.review(tape, self._fail)

    def action_replay(self) -> None:
        tape = self._there()
        if tape is not None:
            self._actions.replay(tape, self._fail)

    def action_compare(self) -> None:
        tapes = [brew.tape for brew in self._selection.chosen if not brew.is_missing]
        if FEWEST_COMPARED <= len(tapes) <= MOST_COMPARED:
            self._show_notice(f"Reading {len(tapes)} recordings.")
            self._actions.compare(tapes, self._fail)
        else:
            self._show_notice("Mark two to six brews with Space to compare them.")

    def action_cup(self) -> None:
        brew = self._selection.picked
        if brew is not None:
            self.app.push_screen(cup_screen(brew, self._shelf, self._glyphs))

    def action_tag(self) -> None:
        chosen = self._selection.chosen

        def answered(text: str | None) -> None:
            tags = tags_in(text or "")
            if tags:
                keep = partial(say_of_all, self._shelf, chosen, tags)
                off_loop(self, keep, self._load, self._fail)

        if chosen:
            question = (
                f"Tags for {how_many(len(chosen), 'brew')}, blanks between; -word takes one off"
            )
            self.app.push_screen(AskScreen(question), answered)

    def action_delete(self) -> None:
        chosen = self._selection.chosen
        if not chosen:
            return

        def done(_: None) -> None:
            self._deleted.append(chosen)
            self._selection.marked = frozenset()
            self._load(f"{how_many(len(chosen), 'brew')} in the bin; u takes back.")

        off_loop(self, partial(self._shelf.delete, chosen), done, self._fail)

    def action_undo(self) -> None:
        if not self._deleted:
            self._show_notice("Nothing was deleted here.")
            return
        brews = self._deleted.pop()
        off_loop(
            self,
            partial(self._shelf.restore, brews),
            lambda _: self._load(f"{how_many(len(brews), 'brew')} taken back."),
            self._fail,
        )

    def action_back(self) -> None:
        if self._search:
            self._search = ""
            self._load()
        else:
            self.dismiss(False)

    def action_quit_all(self) -> None:
        self.dismiss(True)

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(PAGE))
