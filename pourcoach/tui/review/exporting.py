"""The brew under review written into a file of the kind that is asked for."""

from collections.abc import Callable
from functools import partial
from typing import Any

from textual.screen import Screen

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import PourcoachError
from pourcoach.tui.dialogs.dialogs import AskScreen
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.review.kept_brew import Keeper

QUESTION = (
    "Write it into a file: .html a page to print or hand out, .csv a table, .json the figures,"
    " .svg or .png the chart, .txt plain text. The suffix alone will do"
)


def ask_export(
    screen: Screen[Any], keeper: Keeper, rubric: Rubric, show: Callable[[str], None]
) -> None:
    """Ask for a name, write the file beside the event loop, and ``show`` where it is, or what is
    wrong.
    """

    def failed(error: PourcoachError) -> None:
        show(str(error))

    def write(name: str | None) -> None:
        if not name:
            return
        show(f"Writing {name}.")
        off_loop(
            screen,
            partial(keeper.export, name, rubric),
            lambda path: show(f"It is in {path}"),
            failed,
        )

    def ask(usual: str) -> None:
        if screen.is_active:
            screen.app.push_screen(AskScreen(QUESTION, usual), write)

    off_loop(screen, keeper.export_name, ask, failed)
