"""What the command line calls: the app with one session, or with the start screen."""

import os
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from rich.console import Console

from pourcoach import wall_clock
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import PourcoachError, WorkError
from pourcoach.domain.frame import Frame
from pourcoach.recordings.tape import read_tape
from pourcoach.session.glance import glance
from pourcoach.session.live import live_brew
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.protocols import Session, SoundControls
from pourcoach.session.replay.replay import ReplaySession
from pourcoach.session.rubric_in_use import judged_by, planned_under
from pourcoach.session.settings import Settings
from pourcoach.tui.app import Flow, PourcoachApp
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.off_loop import in_thread
from pourcoach.tui.practice.drills_screen import DrillsScreen
from pourcoach.tui.practice.practice_screen import PracticeLeave
from pourcoach.tui.practice.sitting import drill_offers, learnt_lines, sit
from pourcoach.tui.renderables.glyphs import choose_glyphs
from pourcoach.tui.renderables.palette import choose_palette
from pourcoach.tui.session_view import SessionView
from pourcoach.tui.sessions_flow import show_sessions
from pourcoach.tui.start.picked import StartAction, StartChoice
from pourcoach.tui.start.start_offers import find_offers
from pourcoach.tui.start.start_screen import StartScreen
from pourcoach.tui.terminal import die_of


def run_session(
    session: Session,
    rubric: Rubric,
    *,
    glyphs: str,
    theme: str,
    mouse: bool,
    tape: Path | None = None,
    again: Callable[[], SessionView] | None = None,
    sound: SoundControls | None = None,
) -> Frame | None:
    """Show a session and its review, marked by ``rubric``, until the user leaves; gives the last
    Frame.

    ``glyphs`` and ``theme`` by their names. ``tape`` lets the review replay the brew, ``again``
    make another one; ``sound`` is what its keys act on. With the terminal restored it raises what
    the session raised, a fault of the program as it was, and does not return where a signal ended
    it. UsageError for unknown names.
    """

    async def story(app: PourcoachApp) -> None:
        await app.show(SessionView(session, tape, again))

    return run_flow(story, rubric, glyphs, theme, mouse, sound).newest


def run_start(settings: Settings, rubric: Rubric, *, glyphs: str, theme: str, mouse: bool) -> None:
    """The start screen and whatever is asked for from there, until the user leaves. Reviews mark
    by ``rubric``.

    What goes wrong with a brew is shown on the start screen. Crashes and signals as with
    ``run_session``.
    """

    async def story(app: PourcoachApp) -> None:
        start: StartChoice | None = None
        notice: str | None = None
        while True:
            look = partial(find_offers, settings)
            screen = StartScreen(
                await in_thread(look),
                app.glyphs,
                look=look,
                read=partial(glance, rubric=rubric),
                by=settings.by,
                before=start,
                notice=notice,
            )
            start = await app.push_screen_wait(screen)
            notice = None
            if start.action is StartAction.QUIT:
                return
            try:
                if start.action is StartAction.SESSIONS:
                    if await show_sessions(app) is Leave.QUIT:
                        return
                    continue
                if start.action is StartAction.PRACTISE:
                    if await _practise(app, start, settings) is PracticeLeave.QUIT:
                        return
                    continue
                showing = await in_thread(partial(_showing, start, settings, rubric))
                if await app.show(showing) is Leave.QUIT:
                    return
            except PourcoachError as error:
                notice = str(error)

    run_flow(story, rubric, glyphs, theme, mouse)


async def _practise(app: PourcoachApp, start: StartChoice, settings: Settings) -> PracticeLeave:
    """A drill on the scale that was picked; how its sitting was left. Raises WorkError."""
    offers = await in_thread(partial(drill_offers, start.by))
    picked = await app.push_screen_wait(
        DrillsScreen(
            offers, start.scale, start.by, app.glyphs, learnt=partial(learnt_lines, start.by)
        )
    )
    if picked is None:
        return PracticeLeave.BACK

    course = await in_thread(
        partial(PracticeCourse, picked, start.scale, settings, now=wall_clock.now, by=start.by)
    )
    troubles: list[str] = []
    how = await sit(app, course, wall_clock.now, troubles)
    if troubles:
        raise WorkError(troubles[-1])
    return how


def _showing(start: StartChoice, settings: Settings, rubric: Rubric) -> SessionView:
    if start.action is StartAction.REPLAY and start.recording is not None:
        tape = judged_by(read_tape(start.recording), rubric)
        return SessionView(ReplaySession(tape), start.recording)
    brew = live_brew(
        start.scale,
        planned_under(start.plan, rubric),
        settings,
        arrangement=start.arrangement,
        by=start.by,
        began=wall_clock.now(),
    )
    return SessionView(brew.session, brew.tape.path, partial(_showing, start, settings, rubric))


def _colours() -> int:
    """How many colours the terminal can show, as far as its environment shows."""
    system = Console(file=sys.__stderr__).color_system
    return 16 if system in ("standard", "windows") else 256


def run_flow(
    story: Flow,
    rubric: Rubric,
    glyphs: str,
    theme: str,
    mouse: bool,
    sound: SoundControls | None = None,
) -> PourcoachApp:
    """Run the app with one story; what it raises as with ``run_session``."""
    app = PourcoachApp(
        story,
        rubric,
        choose_glyphs(
            glyphs,
            # Textual draws to standard error.
            encoding=getattr(sys.__stderr__, "encoding", None),
            environ=os.environ,
            platform=sys.platform,
        ),
        choose_palette(theme, _colours()),
    )
    app.sound = sound
    app.run(mouse=mouse)
    if app.ended_by is not None:
        if app.recording is not None:
            print(f"The recording is {app.recording}", file=sys.stderr)
        die_of(app.ended_by)
    if app.crash is not None:
        raise app.crash
    if app.trouble is not None:
        raise app.trouble
    return app
