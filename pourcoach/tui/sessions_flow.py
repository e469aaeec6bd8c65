"""From the list of kept brews to a review, a replay or a comparison, and back."""

from collections.abc import Awaitable, Callable, Sequence
from functools import partial
from pathlib import Path

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import PourcoachError, WorkError
from pourcoach.domain.frame import Frame
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import Tape, read_tape
from pourcoach.session.replay.replay import ReplaySession
from pourcoach.session.replay.skips import BEFORE_STAGE_S
from pourcoach.session.rubric_in_use import judged_by
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.compare.compare_flow import show_compared, start_comparing
from pourcoach.tui.off_loop import Failed, in_thread
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.review.kept_brew import KeptBrew
from pourcoach.tui.review.review_keys import After
from pourcoach.tui.review.review_screen import ReviewScreen
from pourcoach.tui.session_view import SessionView
from pourcoach.tui.sessions.actions import BrewActions
from pourcoach.tui.sessions.sessions_screen import SessionsScreen
from pourcoach.tui.sessions.shelf import KeptShelf


async def show_sessions(app: PourcoachApp) -> Leave:
    """The list, and whatever is asked for from there, until it is left."""
    leaving = False

    def start(story: Callable[[], Awaitable[Leave]], failed: Failed) -> None:
        async def run() -> None:
            nonlocal leaving
            try:
                leaving = await story() is Leave.QUIT
            except PourcoachError as error:
                failed(error)
            if leaving:
                screen.dismiss(True)

        app.run_worker(run(), group="sessions", exclusive=True)

    def review(tape: Path, failed: Failed) -> None:
        start(partial(_review, app, tape), failed)

    def replay(tape: Path, failed: Failed) -> None:
        start(partial(_replay, app, tape), failed)

    def compare(tapes: Sequence[Path], failed: Failed) -> None:
        start(partial(_compare, app, tapes), failed)

    actions = BrewActions(review, replay, compare)
    screen = SessionsScreen(KeptShelf(app.rubric), actions, app.glyphs)
    return Leave.QUIT if await app.push_screen_wait(screen) else Leave.BACK


async def _review(app: PourcoachApp, path: Path) -> Leave:
    """The review of a recording, and what is asked for after it. Raises WorkError."""
    tape, last, trace = await in_thread(partial(_judged, path, app.rubric))
    review = ReviewScreen(
        last,
        tape.header.plan,
        trace,
        app.rubric,
        app.glyphs,
        can_replay=True,
        keeper=KeptBrew(path),
        arrangement=tape.header.setup.arrangement,
        compare=partial(start_comparing, app, path, app.rubric, app.glyphs),
    )
    match await app.push_screen_wait(review):
        case After.REPLAY:
            from_s = 0.0 if review.picked_s is None else review.picked_s - BEFORE_STAGE_S
            return await app.show(SessionView(ReplaySession(tape, from_s=from_s), path))
        case After.QUIT:
            return Leave.QUIT
        case _:
            return Leave.BACK


async def _replay(app: PourcoachApp, path: Path) -> Leave:
    tape = judged_by(await in_thread(partial(read_tape, path)), app.rubric)
    return await app.show(SessionView(ReplaySession(tape), path))


async def _compare(app: PourcoachApp, paths: Sequence[Path]) -> Leave:
    await show_compared(app, paths, app.rubric, app.glyphs)
    return Leave.BACK


def _judged(path: Path, rubric: Rubric) -> tuple[Tape, Frame, DrawnTrace]:
    tape = judged_by(read_tape(path), rubric)
    trace = DrawnTrace()
    last = None
    for last in frames(tape):
        trace.follow(last)
    if last is None:
        raise WorkError(f"nothing is recorded on {path.name}", "look at another brew")
    return tape, last, trace
