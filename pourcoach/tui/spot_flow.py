"""What the command line calls: the app with a sitting of spotting faults."""

from functools import partial

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.practice.spotting.trial import Trial, score
from pourcoach.session.practice.spotting import SpotCourse
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.flows import run_flow
from pourcoach.tui.off_loop import in_thread
from pourcoach.tui.practice.head import Head
from pourcoach.tui.practice.message_screen import MessageScreen
from pourcoach.tui.practice.practice_screen import PracticeLeave
from pourcoach.tui.practice.sitting import Now
from pourcoach.tui.practice.spot_screen import SpotScreen
from pourcoach.tui.renderables.palette import Tone
from pourcoach.tui.review.review_screen import ReviewScreen
from pourcoach.wording import spotting as words


def run_spotting(
    course: SpotCourse,
    rubric: Rubric,
    now: Now,
    *,
    simulated: bool,
    glyphs: str,
    theme: str,
    mouse: bool,
) -> None:
    """Show the sitting until it is over or left. Crashes and signals as with ``run_session``."""

    async def flow(app: PourcoachApp) -> None:
        label = words.TRUTH_IS_KNOWN if simulated else words.TRUTH_IS_FOUND
        while (session := await in_thread(course.next)) is not None:
            screen = SpotScreen(session, len(course.made) + 1, app.glyphs)
            if await app.push_screen_wait(screen) is not PracticeLeave.NEXT:
                break
            trial = await in_thread(partial(course.take, session, now()))
            message = MessageScreen(_head(trial), (words.trial_sentence(trial), label), app.glyphs)
            if await app.push_screen_wait(message) is not PracticeLeave.NEXT:
                break
            if screen.last is not None:
                # The whole recording, with everything named.
                await app.push_screen_wait(
                    ReviewScreen(screen.last, session.replay.plan, screen.trace, rubric, app.glyphs)
                )
        if course.made:
            threshold = course.threshold.threshold() if simulated else None
            lines = words.score_sentences(score(course.made), threshold)
            await app.push_screen_wait(
                MessageScreen(Head("DONE", Tone.TARGET), tuple(lines), app.glyphs)
            )

    run_flow(flow, rubric, glyphs, theme, mouse)


def _head(trial: Trial) -> Head:
    hit = trial.hit
    false = any(w.kind is None and trial.pressed_in(w) is not None for w in trial.windows)
    if hit:
        return Head("SEEN", Tone.TARGET)
    if hit is None:
        return Head("FALSE", Tone.ACT) if false else Head("RIGHT", Tone.TARGET)
    return Head("MISSED", Tone.ACT)
