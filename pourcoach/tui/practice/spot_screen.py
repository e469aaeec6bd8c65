"""A recording with its words hidden: a key the moment that something is wrong, then its name."""

from contextlib import suppress
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.worker import Worker, WorkerCancelled, WorkerFailed

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.practice.spotting.trial import KINDS
from pourcoach.session.practice.spotting import SpotSession
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.practice.head import Head, HeadPanel
from pourcoach.tui.practice.practice_screen import PracticeLeave
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import Tone
from pourcoach.tui.widgets.chart import Chart
from pourcoach.tui.widgets.text_row import KeyRow

DRAWS_PER_S = 10
_NAMES = "  ".join(f"{number} {kind.value}" for number, kind in enumerate(KINDS, 1))


class SpotScreen(LeavesOnce[PracticeLeave]):
    """Runs one recording, and gives NEXT at its end."""

    DEFAULT_CSS = """
    SpotScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    SpotScreen #head { height: 9; }
    SpotScreen #chart { height: 1fr; width: 100%; }
    SpotScreen #spot-keys { height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "press", "Something is wrong", priority=True),
        *(
            Binding(str(number), f"name({number})", show=False, priority=True)
            for number in range(len(KINDS) + 1)
        ),
        Binding("escape", "leave('back')", "Leave", priority=True),
        Binding("q", "leave('quit')", "Quit", priority=True),
    ]
    ALLOW_SELECT = False

    def __init__(self, session: SpotSession, number: int, glyphs: Glyphs = FULL) -> None:
        """``number`` counts the recordings of the sitting."""
        super().__init__()
        self._session = session
        self._number = number
        self._worker: Worker[None] | None = None
        self._leaving = False
        self._frame: Frame | None = None
        self.last: Frame | None = None
        """With all that was found; None until the recording is over."""
        self._panel = HeadPanel(glyphs, id="head")
        self._chart = Chart(glyphs, session.replay.plan, id="chart")
        self._key_row = KeyRow(glyphs, id="spot-keys")

    @property
    def trace(self) -> DrawnTrace:
        """What was poured, for the review."""
        return self._chart.trace

    def compose(self) -> ComposeResult:
        yield self._panel
        yield self._chart
        yield self._key_row

    def on_mount(self) -> None:
        self.set_interval(1 / DRAWS_PER_S, self._show)
        self._worker = self.run_worker(self._run(), name="session")
        self._show()

    def on_resize(self) -> None:
        self._show()

    def on_click(self) -> None:
        self.action_press()

    async def _run(self) -> None:
        last = await self._session.run(self._take)
        if self._leaving:
            # Left before its end: it counts for nothing.
            return
        self.last = last
        if not self._session.naming:
            self.dismiss(PracticeLeave.NEXT)

    def _take(self, frame: Frame) -> None:
        self._frame = frame
        self._chart.append(frame)

    def _show(self) -> None:
        if not self.is_mounted:
            return
        frame, naming = self._frame, self._session.naming
        brew_s = None if frame is None else frame.pour.brew_s
        time = "-:--" if brew_s is None else clock(brew_s)
        if naming:
            self._panel.show(Head("WHAT?", Tone.ACT, time, f"{_NAMES}  0 cannot say"))
        else:
            said = f"Recording {self._number}. Space the moment that something is wrong."
            self._panel.show(Head("WATCH", Tone.WAIT, time, said))
        self._chart.show()
        first = ("1-6", "Name it") if naming else ("space", "Wrong!")
        self._key_row.show(first, ("esc", "Leave"), ("q", "Quit"))

    def action_press(self) -> None:
        self._session.press()
        self._show()

    def action_name(self, number: int) -> None:
        if not self._session.naming:
            return
        self._session.name(KINDS[number - 1] if number else None)
        self._show()
        if self.last is not None:
            self.dismiss(PracticeLeave.NEXT)

    async def action_leave(self, how: str) -> None:
        self._leaving = True
        self._session.stop()
        if self._worker is not None:
            with suppress(WorkerFailed, WorkerCancelled):
                await self._worker.wait()
        self.dismiss(PracticeLeave(how))
