"""The list of drills."""

from collections.abc import Callable
from typing import Any

from pourcoach.session.practice.drills import drills
from pourcoach.tui.practice.drills_screen import DrillOffer, DrillsScreen
from pourcoach.tui.renderables.palette import DARK, LIGHT
from tests.tui.conftest import colours_on
from tests.tui.screen_app import ScreenApp
from tests.tui.settled import settled

OFFERS = [DrillOffer(drill, "12 pours, test now") for drill in drills()[0]]


async def test_as_text(
    screen_text: Callable[[Any], str], golden: Callable[[str, str], None]
) -> None:
    app = ScreenApp(DrillsScreen(OFFERS, "kettle:", "Ada"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "down")
        golden("drills-80x24", screen_text(app))


async def test_p_shows_what_was_learnt(screen_text: Callable[[Any], str]) -> None:
    screen = DrillsScreen(OFFERS, "kettle:", None, learnt=lambda: ["Too little to tell."])
    app = ScreenApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p")
        await settled(pilot)
        assert "Too little to tell." in screen_text(app)


async def test_another_theme_leaves_no_colour_of_the_one_before() -> None:
    app = ScreenApp(DrillsScreen(OFFERS, "kettle:", "Ada"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        dark = {DARK.text.ground, DARK.text.ink, DARK.dim, DARK.target.ground}
        assert dark <= colours_on(app)
        app.theme = LIGHT.name
        await settled(pilot)
        assert colours_on(app).isdisjoint(dark)
