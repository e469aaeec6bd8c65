"""The brew, live or replayed: what to do now, how far off, what comes next.

Every Frame goes to the chart; the screen is drawn from the newest one, when ``Draws`` says so.
"""

import gc
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.worker import Worker

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds
from pourcoach.session.protocols import Session, Tilted
from pourcoach.tui.brew.brew_board import BrewBoard
from pourcoach.tui.brew.brew_keys import (
    BACKWARDS,
    BINDINGS,
    HANDS,
    TRANSPORT,
)
from pourcoach.tui.brew.brew_view import BrewView, brew_view
from pourcoach.tui.brew.draws import Draws
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.brew.session_state import SessionState
from pourcoach.tui.dialogs.dialogs import NoteScreen, QuestionScreen
from pourcoach.tui.dialogs.help_pages import brew_help, replay_page
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.puts_away import PutsAway, has_stopped
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.sound_keys import with_sound
from pourcoach.tui.widgets.kettle_panel import KettlePanel

# Wall time, whatever the session's speed. A session feeds silence to its fold sooner; this is for
# one that is itself held up.
STALE_S: Seconds = 1.0
# A timer for a STOP further off would be replaced with each reading; a Frame or a tick asks again.
STOP_SOON_S: Seconds = 1.0
# So that DONE is seen before the review takes over; the hands are still busy then.
REVIEW_AFTER_S: Seconds = 4.0


class BrewScreen(PutsAway[Leave]):
    """Runs its session, and gives how it was left once the session has been put away."""

    DEFAULT_CSS = """
    BrewScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    BrewScreen BrewBoard { height: 1fr; }
    BrewScreen #kettle { height: 3; }
    """
    BINDINGS: ClassVar[list[BindingType]] = BINDINGS
    ALLOW_SELECT = False
    BLANK = True  # Board and kettle cover it.

    def __init__(
        self, session: Session, glyphs: Glyphs = FULL, *, can_repeat: bool = False
    ) -> None:
        """``can_repeat``: whether another brew of the same kind can follow."""
        super().__init__()
        self._can_repeat = can_repeat
        self._session = session
        self._state = SessionState(session, glyphs)
        self._glyphs = glyphs
        self._worker: Worker[None] | None = None
        self._phase_before = Phase.READY
        self._word_before: Word | None = None
        self._stop_due_s: Seconds | None = None
        self._board = BrewBoard(glyphs, session.plan, brew_view(None, 0.0))
        kettle = session.kettle if isinstance(session, Tilted) else None
        self._kettle = KettlePanel(glyphs, kettle, id="kettle")
        # Whoever tilts a simulated kettle looks at the curve, and at no bed.
        head = self._draw_head if kettle is None else self._draw_whole
        self._draws = Draws(head, self._draw_whole)

    @property
    def error(self) -> WorkError | None:
        """Why the session could not go on; None while it can."""
        return self._state.error

    @property
    def brewing(self) -> bool:
        """Whether leaving now would cut a live brew short."""
        return self._state.brewing

    @property
    def trace(self) -> DrawnTrace:
        """What was poured, for the review."""
        return self._board.trace

    def compose(self) -> ComposeResult:
        yield self._board
        yield self._kettle

    def on_mount(self) -> None:
        self._start()
        self._draws.begin()

    def on_unmount(self) -> None:
        self._draws.end()

    def _start(self) -> None:
        self._state.ended = False
        self._worker = self.run_worker(self._run(), name="session")

    async def _run(self) -> None:
        try:
            await self._session.run(self.on_frame)
        except WorkError as error:
            self._state.error = error
        self._state.ended = True
        if self.error is None and self._state.transport is None:
            self.set_timer(REVIEW_AFTER_S, self._review)
        self._draw()

    def on_frame(self, frame: Frame) -> None:
        """Take every Frame; draw now, or soon from a newer one."""
        self._board.append(frame)
        # What is shown may be another word than that of any Frame that comes late: STOP is due.
        word, before = frame.cue.word, self._word_before
        self._word_before = word
        self._draws.frame(new_word=word is not before and word is not self._board.word)
        self._await_stop()
        if frame.pour.phase is not self._phase_before:
            self._phase_before = frame.pour.phase
            # What stands now stands for the brew: to look through all of it for garbage takes
            # longer than STOP may.
            gc.freeze()

    def _draw(self) -> None:
        if self.is_mounted:
            self._draws.all_now()

    def _draw_head(self) -> None:
        if self.is_mounted:
            self._board.show_figure(self._view())
            self._await_stop()

    def _draw_whole(self) -> None:
        if self.is_mounted:
            keys = self._state.keys(again=self.check_action("again", ()) is True)
            self._board.show(self._view(), with_sound(self.app, keys))
            self._kettle.look()
            self._await_stop()

    def _view(self) -> BrewView:
        return self._state.view(held_up=self._draws.idle_s > STALE_S)

    def _await_stop(self) -> None:
        """Draw STOP at the moment it is due; the next input may come too late for it."""
        frame = self._session.newest
        due_s = None if frame is None else frame.cue.stop_due_s
        wait_s = None if due_s is None else self._state.until(due_s)
        if wait_s is not None and wait_s > STOP_SOON_S:
            due_s = wait_s = None
        if due_s != self._stop_due_s:
            self._stop_due_s = due_s
            self._draws.stop_in(wait_s)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys of a live brew do nothing in a replay, and the other way round."""
        if action == "again":
            return self._state.hands is not None and self._can_repeat
        if action in ("tip", "let_go", "refill"):
            return self._kettle.display
        if action in ("ask", "note"):
            return self._state.hands is not None and not self._state.ended
        if action == "wind":
            # From the end of a replay there is only the way back.
            may_wind = not self._state.ended or (parameters[0] in BACKWARDS and self.error is None)
            return self._state.transport is not None and may_wind
        return super().check_action(action, parameters)

    def on_click(self) -> None:
        """A click anywhere is the main action."""
        self.action_main()

    def action_main(self) -> None:
        if not self._state.ended:
            self._session.main()
            self._draw()
        elif self.error is None:
            self.leave_with(Leave.REVIEW)
        else:
            self.leave_with(Leave.BACK)

    def action_ask(self, what: str) -> None:
        """Ask one of HANDS of the live brew."""
        if self._state.hands is not None:
            HANDS[what](self._state.hands)

    def action_note(self) -> None:
        self.app.push_screen(NoteScreen(), self._take_note)

    def _take_note(self, text: str | None) -> None:
        if text and self._state.hands is not None:
            self._state.hands.note(text)

    def action_wind(self, how: str) -> None:
        """Do one of TRANSPORT with the replay."""
        if self._state.transport is not None:
            TRANSPORT[how](self._state.transport)
            self._stop_due_s = None
            if self._state.ended:
                self._start()
            self._draw()

    def action_tip(self, steps: int) -> None:
        self._kettle.tip(steps)

    def action_let_go(self) -> None:
        self._kettle.let_go()

    def action_refill(self) -> None:
        self._kettle.refill()

    def action_help(self) -> None:
        page = replay_page(self._glyphs) if self._state.hands is None else brew_help()
        self.app.push_screen(HelpScreen(page, keep_rows=self._board.keep_rows))

    def action_stop(self) -> None:
        """Stop a brew under way and save it; the screen stays, to show what became of it."""
        if self.brewing:
            self._session.stop()

    def action_again(self) -> None:
        """Begin again; beyond the first stage only once the brewer has agreed."""
        frame = self._session.newest
        begun_well = frame is not None and len(frame.pour.stages) > 1
        question = "Stop this brew and begin again? What is recorded is kept."
        self._ask_and_go(Leave.AGAIN, question if begun_well else None)

    def action_back(self) -> None:
        self._ask_and_go(Leave.BACK)

    def action_leave(self) -> None:
        self._ask_and_go(Leave.QUIT)

    def _ask_and_go(
        self, how: Leave, question: str | None = "Stop this brew? What is recorded is kept."
    ) -> None:
        if question is None or not self.brewing:
            self.leave_with(how)
            return

        def answered(yes: bool | None) -> None:
            if yes:
                self.leave_with(how)

        self.app.push_screen(QuestionScreen(question), answered)

    def _review(self) -> None:
        if self.is_active:
            self.leave_with(Leave.REVIEW)
        else:
            self.set_timer(REVIEW_AFTER_S, self._review)

    async def put_away(self) -> None:
        gc.unfreeze()
        self._session.stop()
        await has_stopped(self._worker)
