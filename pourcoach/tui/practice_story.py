"""What the command line calls: the app with one sitting of practice."""

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.session.practice_course import PracticeCourse
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.practice.sitting import Now, sit
from pourcoach.tui.stories import run_story


def run_practice(
    course: PracticeCourse, rubric: Rubric, now: Now, *, glyphs: str, theme: str, mouse: bool
) -> list[str]:
    """Show the sitting until it is over or left; sentences on what could not be kept. Crashes and
    signals as with ``run_session``.
    """
    troubles: list[str] = []

    async def story(app: PourcoachApp) -> None:
        await sit(app, course, now, troubles)

    run_story(story, rubric, glyphs, theme, mouse)
    return troubles
