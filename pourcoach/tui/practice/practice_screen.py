"""One pour of a drill: the task before, what the mode allows during, then the result first."""

import asyncio
from enum import Enum
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.worker import Worker

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.number import read_number
from pourcoach.domain.units import Seconds
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.tui.brew.brew_board import BrewBoard
from pourcoach.tui.brew.brew_view import brew_view
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.practice.head import Head, HeadPanel
from pourcoach.tui.practice.help_page import PRACTICE_PAGE
from pourcoach.tui.practice.practice_view import PracticeView, practice_view
from pourcoach.tui.puts_away import PutsAway, has_stopped
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import Tone
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH, ScreenSize, use_size
from pourcoach.tui.sound_keys import with_sound
from pourcoach.tui.widgets.kettle_panel import KettlePanel
from pourcoach.tui.widgets.paragraphs import Paragraphs
from pourcoach.tui.widgets.text_row import KeyRow, TextRow

# A hand on the mouse sees its own doing late: at most a frame of a usual display is waited for
# (60 a second, common practice).
LEAST_GAP_S: Seconds = 0.016
TICKS_PER_S = 10
LONGEST_ESTIMATE = 6
_POINTS = (("full_stop", "."), ("comma", ","))


class PracticeLeave(Enum):
    """How the student left the pour."""

    NEXT = "next"
    BACK = "back"
    QUIT = "quit"


class PracticeScreen(PutsAway[PracticeLeave]):
    """Runs its session, and gives how it was left once the session has been put away."""

    DEFAULT_CSS = """
    PracticeScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    PracticeScreen #head { height: 9; }
    PracticeScreen #task { height: 2; margin: 1 0 0 0; }
    PracticeScreen #prose { height: 1fr; margin: 1 0; }
    PracticeScreen #kettle { height: 3; }
    PracticeScreen #practice-keys { height: 1; }
    PracticeScreen #board { display: none; height: 1fr; }
    PracticeScreen.-live #board { display: block; }
    PracticeScreen.-live #head, PracticeScreen.-live #task, PracticeScreen.-live #prose,
    PracticeScreen.-live #practice-keys { display: none; }
    PracticeScreen.-bare #task, PracticeScreen.-bare #prose { margin: 0; }
    PracticeScreen.-tiny #task, PracticeScreen.-tiny #prose, PracticeScreen.-tiny #kettle,
    PracticeScreen.-tiny #practice-keys, PracticeScreen.-tiny #board { display: none; }
    PracticeScreen.-tiny #head { height: 1fr; display: block; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "main", "Begin, done, say the estimate, next", priority=True),
        Binding("t", "tare", "Tare", priority=True),
        Binding("up", "tip(1)", "Tilt the kettle", priority=True),
        Binding("down", "tip(-1)", "Tilt it back", priority=True),
        Binding("f", "refill", "Refill the kettle", priority=True),
        *(
            Binding(key, f"type('{sign}')", show=False, priority=True)
            for key, sign in (*((digit, digit) for digit in "0123456789"), *_POINTS)
        ),
        Binding("backspace", "rub_out", "Take a digit back", show=False, priority=True),
        Binding("question_mark", "help", "Help", priority=True),
        Binding("escape", "back", "Leave the sitting", priority=True),
        Binding("q", "quit_practice", "Quit", priority=True),
    ]
    ALLOW_SELECT = False

    def __init__(
        self, session: PracticeSession, needs: tuple[str, ...] = (), glyphs: Glyphs = FULL
    ) -> None:
        """``needs`` are paragraphs for the time before the pour."""
        super().__init__()
        self._session = session
        self._needs = needs
        self._worker: Worker[None] | None = None
        self._typed = ""
        self._draw_timer: asyncio.TimerHandle | None = None
        self._drawn_s: Seconds = 0.0
        self._step: Step | None = None
        self._room = ScreenSize.COMPACT
        self.error: WorkError | None = None
        """Why the session could not go on; None while it can."""
        self._head = HeadPanel(glyphs, id="head")
        self._task_row = TextRow(glyphs, id="task")
        self._prose = Paragraphs(glyphs, id="prose")
        self._board = BrewBoard(glyphs, session.attempt.plan, brew_view(None, 0.0))
        self._board.id = "board"
        self._kettle = KettlePanel(glyphs, session.kettle, id="kettle")
        self._keys = KeyRow(glyphs, id="practice-keys")

    def compose(self) -> ComposeResult:
        yield self._head
        yield self._task_row
        yield self._prose
        yield self._board
        yield self._kettle
        yield self._keys

    def on_mount(self) -> None:
        self.set_interval(1 / TICKS_PER_S, self._draw)
        self._worker = self.run_worker(self._run(), name="session")
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        self._room = use_size(self, event.size)
        self._draw()

    async def _run(self) -> None:
        try:
            await self._session.run(self.on_glance)
        except WorkError as error:
            self.error = error
        self._draw()

    def on_glance(self, glance: Glance) -> None:
        """Take every Glance; draw at once if it is of another step, else soon."""
        if glance.frame is not None and glance.step is Step.POURING:
            self._board.append(glance.frame)
        loop = asyncio.get_running_loop()
        gone_s = loop.time() - self._drawn_s
        if glance.step is not self._step or gone_s >= LEAST_GAP_S:
            self._draw()
        elif self._draw_timer is None:
            self._draw_timer = loop.call_later(LEAST_GAP_S - gone_s, self._draw)

    @property
    def view(self) -> PracticeView:
        """What is shown now."""
        session = self._session
        return practice_view(
            session.newest,
            session.attempt.assignment,
            len(session.attempt.plan.stages),
            needs=self._needs,
            typed=self._typed,
            notice=session.notice,
            error=None if self.error is None else str(self.error),
            kettle=session.kettle is not None,
        )

    def _draw(self) -> None:
        if self._draw_timer is not None:
            self._draw_timer.cancel()
            self._draw_timer = None
        if not self.is_mounted:
            return
        self._drawn_s = asyncio.get_running_loop().time()
        session, view = self._session, self.view
        self._step = session.step
        live = view.frame is not None and not view.head.dark
        self.set_class(live, "-live")
        self._kettle.look()
        if live and view.frame is not None:
            shown = brew_view(view.frame, session.now(), notice=session.notice)
            self._board.show(shown, with_sound(self.app, view.keys))
            return
        head = view.head
        if self._room is ScreenSize.TINY:
            head = Head(head.word, Tone.ACT, "", f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}")
        self._head.show(head)
        self._task_row.show("TASK" if view.task else "", view.task)
        self._prose.show(*view.prose)
        self._keys.show(*with_sound(self.app, view.keys))

    # Keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The kettle's keys are there where there is a kettle."""
        if action in ("tip", "refill"):
            return self._session.kettle is not None
        return super().check_action(action, parameters)

    def action_type(self, sign: str) -> None:
        """A digit of the estimate where it is asked for; else 0 lets go of the kettle."""
        if self._session.step is Step.ASKING:
            self._typed = (self._typed + sign)[:LONGEST_ESTIMATE]
            self._draw()
        elif sign == "0":
            self._kettle.let_go()

    def action_main(self) -> None:
        match self._session.step:
            case Step.SHOWN | Step.OVER:
                self.leave_with(PracticeLeave.NEXT)
            case Step.ASKING:
                self._say()
            case _ if self.error is not None:
                self.leave_with(PracticeLeave.BACK)
            case _:
                self._session.main()

    def _say(self) -> None:
        try:
            value = read_number(self._typed)
        except UsageError:
            # What was typed is no number yet.
            return
        self._session.estimate(value)

    def action_rub_out(self) -> None:
        self._typed = self._typed[:-1]
        self._draw()

    def action_tare(self) -> None:
        self._session.tare()

    def action_tip(self, steps: int) -> None:
        self._kettle.tip(steps)

    def action_refill(self) -> None:
        self._kettle.refill()

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(PRACTICE_PAGE))

    def action_back(self) -> None:
        self.leave_with(PracticeLeave.BACK)

    def action_quit_practice(self) -> None:
        self.leave_with(PracticeLeave.QUIT)

    async def put_away(self) -> None:
        self._session.stop()
        await has_stopped(self._worker)
