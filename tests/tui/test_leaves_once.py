"""A key that comes twice before it is acted on closes one screen, not two."""

import pytest
from textual.screen import Screen

from pourcoach.tui.dialogs.dialogs import AskScreen, NoteScreen, PickScreen, QuestionScreen
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.forms.strength_screen import StrengthScreen
from tests.tui.made_review import ReviewApp


@pytest.mark.parametrize(
    "screen",
    [
        AskScreen("Which?"),
        HelpScreen("Help"),
        NoteScreen(),
        PickScreen("Which?", ("this", "that")),
        QuestionScreen("Sure?"),
        StrengthScreen(),
    ],
    ids=lambda screen: type(screen).__name__,
)
async def test_what_is_left_twice_leaves_the_screen_below(screen: Screen[object]) -> None:
    app = ReviewApp()
    async with app.run_test() as pilot:
        await app.push_screen(screen)
        screen.dismiss(None)
        screen.dismiss(None)
        await pilot.pause()
        assert app.screen is app.review
        assert app.after is None


async def test_the_first_answer_counts() -> None:
    answers: list[bool | None] = []
    screen = QuestionScreen("Sure?")
    app = ReviewApp()
    async with app.run_test() as pilot:
        await app.push_screen(screen, answers.append)
        screen.dismiss(True)
        screen.dismiss(False)
        await pilot.pause()
    assert answers == [True]
