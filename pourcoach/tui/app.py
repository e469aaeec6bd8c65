"""The app around the screens.

What follows what is decided by one coroutine, from top to bottom; a screen only gives its answer.
"""

import signal
from collections.abc import Awaitable, Callable, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, ClassVar, TypeAlias

from textual import events
from textual.actions import parse
from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.worker import WorkerFailed

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.frame import Frame
from pourcoach.recordings.tape import read_tape
from pourcoach.session.protocols import SoundControls
from pourcoach.session.replay.replay import ReplaySession
from pourcoach.session.replay.skips import BEFORE_STAGE_S
from pourcoach.session.rubric_in_use import judged_by
from pourcoach.tui.brew.brew_screen import BrewScreen
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.compare.compare_flow import start_comparing
from pourcoach.tui.focus_click import FocusClickApp
from pourcoach.tui.off_loop import in_thread
from pourcoach.tui.puts_away import PutsAway
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import DARK, PALETTES, Palette
from pourcoach.tui.review.kept_brew import KeptBrew
from pourcoach.tui.review.review_keys import After
from pourcoach.tui.review.review_screen import ReviewScreen
from pourcoach.tui.session_view import SessionView
from pourcoach.tui.sound_keys import BINDINGS as SOUND_BINDINGS
from pourcoach.tui.sound_keys import sound_commands
from pourcoach.tui.takes_keys import took_key
from pourcoach.tui.terminal import (
    TERMINAL_LOOKED_FOR_S,
    die_of,
    heed_no_lost_terminal,
    lost_terminal,
    on_end_signal,
    terminal_is_there,
)
from pourcoach.tui.terminal_driver import TERMINAL_DRIVER
from pourcoach.tui.themes import use_palette, variables
from pourcoach.tui.wall.wall_screen import WallScreen

Flow: TypeAlias = "Callable[[PourcoachApp], Awaitable[None]]"
"""What an app does from its first screen to its last."""


def shown_bindings(screen: Screen[Any]) -> Iterator[Binding]:
    """The screen's own keys that do something now, as they are listed."""
    for binding in screen.BINDINGS:
        if not isinstance(binding, Binding) or not binding.show:
            continue
        name, parameters = parse(binding.action)[1:]
        if binding.description and screen.check_action(name, parameters):
            yield binding


class PourcoachApp(FocusClickApp[None]):
    """Runs one story and ends with it."""

    TITLE = "pourcoach"
    # The palette leaves what the brew screen says to be read, where there is room for both.
    CSS = """
    CommandPalette { background: transparent; }
    CommandPalette.-high > Vertical { margin-top: 10; }
    CommandPalette.-high #--results { max-height: 40vh; }
    """
    VERTICAL_BREAKPOINTS: list[tuple[int, str]] | None = [(0, "-low"), (24, "-high")]  # noqa: RUF012
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+z", "suspend_process", "Suspend", show=False, priority=True),
        Binding("ctrl+c", "interrupt", "Stop", show=False, priority=True),
        *SOUND_BINDINGS,
    ]

    def __init__(self, story: Flow, rubric: Rubric, glyphs: Glyphs, palette: Palette) -> None:
        super().__init__(driver_class=TERMINAL_DRIVER)
        self.glyphs = glyphs
        self.rubric = rubric
        """Every review marks by it."""
        self.sound: SoundControls | None = None
        """Of what is shown; None is silence."""
        self.newest: Frame | None = None
        """The last Frame of the last session shown."""
        self.trouble: PourcoachError | None = None
        """What ended the story before its time; to be shown once the terminal is restored."""
        self.crash: BaseException | None = None
        """A fault of the program itself."""
        self.ended_by: signal.Signals | None = None
        """The signal that ended the app."""
        self.showing: SessionView | None = None
        """What is on the screen, or was last."""
        self._leaving = False
        self._story = story
        self._palette = palette

    @property
    def recording(self) -> Path | None:
        """Of the last session shown; None where nothing was recorded."""
        if self.showing is None or self.newest is None:
            return None
        return self.showing.tape

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own colour names, for themes that do not have them."""
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, self._palette)
        if not self.is_headless:
            on_end_signal(self._end_by_signal)
            heed_no_lost_terminal()
            self.set_interval(TERMINAL_LOOKED_FOR_S, self._look_for_terminal)
        # After a stop and fg the terminal is blank, and only changed widgets would be sent.
        self.app_resume_signal.subscribe(self, lambda _: self.screen.refresh(layout=True))
        self.run_worker(self._follow(), name="flow")

    async def on_event(self, event: events.Event) -> None:
        """Textual's entry for all that the terminal sends."""
        if not await took_key(self, event):
            await super().on_event(event)

    async def _follow(self) -> None:
        try:
            await self._story(self)
        except PourcoachError as error:
            self.trouble = error
        self.exit()

    async def show(self, showing: SessionView) -> Leave:
        """One session, its review, and whatever is asked for after that, until left.

        Raises the session's WorkError.
        """
        while True:
            self.showing = showing
            again = showing.again
            brew = BrewScreen(showing.session, self.glyphs, can_repeat=again is not None)
            how = await self.push_screen_wait(brew)
            if how is Leave.AGAIN and again is not None:
                showing = await in_thread(again)
                continue
            if brew.error is not None:
                raise brew.error
            self.newest = last = showing.session.newest
            if how is not Leave.REVIEW or last is None:
                return how
            tape = showing.tape
            review = ReviewScreen(
                last,
                showing.session.plan,
                brew.trace,
                self.rubric,
                self.glyphs,
                can_replay=tape is not None,
                can_repeat=showing.again is not None,
                keeper=None if tape is None else KeptBrew(tape),
                arrangement=showing.session.arrangement,
                compare=None
                if tape is None
                else partial(start_comparing, self, tape, self.rubric, self.glyphs),
            )
            after = await self.push_screen_wait(review)
            match after:
                case After.AGAIN if showing.again is not None:
                    showing = await in_thread(showing.again)
                case After.REPLAY if tape is not None:
                    whole = await in_thread(partial(read_tape, tape))
                    from_s = 0.0 if review.picked_s is None else review.picked_s - BEFORE_STAGE_S
                    replay = ReplaySession(judged_by(whole, self.rubric), from_s=from_s)
                    showing = SessionView(replay, tape, showing.again)
                case After.QUIT:
                    return Leave.QUIT
                case _:
                    return Leave.BACK

    def action_mute(self) -> None:
        if self.sound is not None:
            self.sound.mute()

    def action_louder(self) -> None:
        if self.sound is not None:
            self.sound.louder()

    # Leaving from anywhere

    def action_interrupt(self) -> None:
        """Ctrl+C: stop and save the brew under way; again, or with none under way: leave."""
        brew = self._brew
        if brew is not None and brew.brewing:
            brew.action_stop()
        else:
            self._leave()

    async def action_quit(self) -> None:
        """Ctrl+Q and the palette's Quit: a brew under way is asked about first."""
        brew = self._brew
        if brew is not None and brew.brewing and brew.is_active:
            brew.action_leave()
        else:
            self._leave()

    @property
    def _brew(self) -> BrewScreen | WallScreen | None:
        """The screen behind which somebody may be brewing."""
        brews = (each for each in self.screen_stack if isinstance(each, BrewScreen | WallScreen))
        return next(brews, None)

    def _look_for_terminal(self) -> None:
        hang_up = lost_terminal()
        if hang_up is not None:
            self._end_by_signal(hang_up)

    def _end_by_signal(self, number: signal.Signals) -> None:
        if self.ended_by is None:
            self.ended_by = number
            self._leave()

    def _leave(self) -> None:
        if not self._leaving:
            self._leaving = True
            self.run_worker(self._save_and_exit(), name="leaving", group="leaving")

    async def _save_and_exit(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, PutsAway):
                await screen.put_away()
        if self.ended_by is not None and not terminal_is_there():
            die_of(self.ended_by)
        if self.showing is not None:
            self.newest = self.showing.session.newest
        self.exit()

    def _handle_exception(self, error: Exception) -> None:
        """A fault of the program: Textual would print a picture of it and forget it."""
        super()._handle_exception(error)
        self._exit_renderables.clear()
        if self.crash is None:
            self.crash = error.error if isinstance(error, WorkerFailed) else error

    def get_system_commands(
        self,
        screen: Screen[Any],
    ) -> Iterable[SystemCommand]:
        """The palette's entries: all that the screen below can do now, and our own themes."""
        for binding in shown_bindings(screen):
            yield SystemCommand(
                binding.description,
                f"Key {binding.key.replace(',', ', ').replace('_', ' ')}",
                partial(screen.run_action, binding.action),
            )
        yield from sound_commands(self)
        for palette in PALETTES.values():
            yield SystemCommand(
                f"Colours: {palette.label}",
                "Change the colours",
                lambda n=palette.name: self._wear(n),
            )

    def _wear(self, name: str) -> None:
        self.theme = name
