"""A recording watched for a fault, on the screen."""

from collections.abc import Callable
from typing import Any

from pourcoach.practice.spotting.trial import SpotKind
from pourcoach.session.practice.spot_recordings import simulated_recording
from pourcoach.session.practice.spotting import SpotSession
from pourcoach.tui.practice.spot_screen import SpotScreen
from tests.tui.screen_app import ScreenApp

RECORDING = simulated_recording(4, 9.0)


async def test_a_press_stops_it_until_it_is_named(screen_text: Callable[[Any], str]) -> None:
    session = SpotSession(RECORDING, 1.0)
    app = ScreenApp(SpotScreen(session, 1))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Space the moment that something is wrong" in screen_text(app)
        await pilot.press("3")
        assert session.trial.presses == ()
        await pilot.press("space")
        await pilot.pause()
        assert session.naming
        assert session.replay.paused
        assert "3 surge" in screen_text(app)
        await pilot.press("3")
        assert [press.named for press in session.trial.presses] == [SpotKind.SURGE]
        assert not session.replay.paused
        await pilot.press("escape")
        await pilot.app.workers.wait_for_complete()


async def test_at_its_end_it_is_left_with_all_that_was_found() -> None:
    session = SpotSession(RECORDING, 100.0)
    screen = SpotScreen(session, 1)
    app = ScreenApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        assert app.left
        assert screen.last is not None
        assert screen.last.flags
