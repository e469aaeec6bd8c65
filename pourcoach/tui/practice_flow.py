"""What the command line calls: the app with one sitting of practice."""

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.protocols import SoundControls
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.flows import run_flow
from pourcoach.tui.practice.sitting import Now, sit


def run_practice(
    course: PracticeCourse,
    rubric: Rubric,
    now: Now,
    *,
    glyphs: str,
    theme: str,
    mouse: bool,
    sound: SoundControls | None = None,
) -> list[str]:
    """Show the sitting until it is over or left; sentences on what could not be kept. Crashes and
    signals as with ``run_session``.
    """
    troubles: list[str] = []

    async def story(app: PourcoachApp) -> None:
        await sit(app, course, now, troubles)

    run_flow(story, rubric, glyphs, theme, mouse, sound)
    return troubles
