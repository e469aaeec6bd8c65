"""What the command line calls: the app with the wall."""

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.sharing.seen import CurveBoard
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.flows import run_flow
from pourcoach.tui.wall.wall_class import WallClass
from pourcoach.tui.wall.wall_screen import WallScreen


def run_wall(
    board: CurveBoard,
    asked: WallClass | None,
    rubric: Rubric,
    *,
    glyphs: str,
    theme: str,
    mouse: bool,
) -> None:
    """Show the wall until it is left. ``asked``: what keys act on; None only looks. Crashes,
    signals and wrong names as with ``run_session``.
    """

    async def story(app: PourcoachApp) -> None:
        await app.push_screen_wait(WallScreen(board, asked, app.glyphs))

    run_flow(story, rubric, glyphs, theme, mouse)
