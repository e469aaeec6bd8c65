"""A brew from the simulated kettle, on the brew screen."""

from pourcoach.scales.open import open_scale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.tui.brew.brew_board import BrewBoard
from pourcoach.tui.brew.brew_screen import BrewScreen
from pourcoach.tui.widgets.kettle_panel import KettlePanel
from tests.practice.driven import short_task
from tests.tui.screen_app import ScreenApp


async def test_the_kettle_is_tilted_where_the_brew_is_watched() -> None:
    _, plan = short_task()
    clock = Clock()
    session = BrewSession(open_scale("kettle:?lag=0.001", clock.now, plan), clock, plan)
    app = ScreenApp(BrewScreen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.screen.query_one(KettlePanel).region.y == 21
        await pilot.press("up", "up")
        assert session.kettle is not None
        for _ in range(5):
            session.kettle.step()
        assert session.kettle.tilt > 0.05
        await pilot.press("0")
        for _ in range(5):
            session.kettle.step()
        assert session.kettle.tilt < 0.05
        session.stop()


async def test_without_one_there_is_no_panel() -> None:
    _, plan = short_task()
    clock = Clock()
    session = BrewSession(open_scale("sim:steady", clock.now, plan), clock, plan)
    app = ScreenApp(BrewScreen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up", "f")
        assert not app.screen.query_one(KettlePanel).region.area
        assert app.screen.query_one(BrewBoard).region.height == 24
        session.stop()
