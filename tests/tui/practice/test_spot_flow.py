"""A sitting of spotting faults from recording to recording."""

from collections.abc import Awaitable, Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from pourcoach.session.practice.spotting import SpotCourse
from pourcoach.tui import spot_flow
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.practice.message_screen import MessageScreen
from pourcoach.tui.practice.spot_screen import SpotScreen
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.review.review_screen import ReviewScreen
from tests.reports.made_brew import USUAL_RUBRIC

NOON = datetime.fromisoformat("2026-01-15T12:00:00+00:00")


def sitting(
    course: SpotCourse, monkeypatch: pytest.MonkeyPatch
) -> Callable[[PourcoachApp], Awaitable[None]]:
    flows: list[Any] = []
    monkeypatch.setattr(spot_flow, "run_flow", lambda flow, *_: flows.append(flow))
    spot_flow.run_spotting(
        course,
        USUAL_RUBRIC,
        lambda: NOON,
        simulated=True,
        glyphs="full",
        theme="dark",
        mouse=False,
    )
    flow: Callable[[PourcoachApp], Awaitable[None]] = flows[0]
    return flow


async def until(pilot: Pilot[Any], screen: type, says: str = "") -> None:
    for _ in range(500):
        await pilot.pause(0.02)
        now = pilot.app.screen
        if isinstance(now, screen) and says in str(getattr(now, "_shown", says)):
            return
    pytest.fail(f"{screen.__name__} never came; {pilot.app.screen} is shown")


@pytest.fixture(autouse=True)
def own_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))


async def test_each_recording_is_named_and_reviewed_and_the_sitting_summed_up(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    course = SpotCourse(by="Ada", seed=3, trials=1, speed=100.0)
    app = PourcoachApp(sitting(course, monkeypatch), USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(100, 30)) as pilot:
        await until(pilot, MessageScreen)
        await pilot.press("space")
        await until(pilot, ReviewScreen)
        await pilot.press("escape")
        await until(pilot, MessageScreen, "DONE")
        await pilot.press("q")
    assert len(course.made) == 1


async def test_one_that_is_left_is_not_kept_and_ends_the_sitting(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    course = SpotCourse(by="Ada", seed=3, trials=2, speed=1.0)
    flow = sitting(course, monkeypatch)
    over: list[bool] = []

    async def noted(app: PourcoachApp) -> None:
        await flow(app)
        over.append(True)

    app = PourcoachApp(noted, USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(100, 30)) as pilot:
        await until(pilot, SpotScreen)
        await pilot.press("escape")
        for _ in range(500):
            if over:
                break
            await pilot.pause(0.02)
    assert over
    assert course.made == []


async def test_leaving_after_one_sums_up_what_was_watched(monkeypatch: pytest.MonkeyPatch) -> None:
    course = SpotCourse(by="Ada", seed=3, trials=2, speed=100.0)
    app = PourcoachApp(sitting(course, monkeypatch), USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(100, 30)) as pilot:
        await until(pilot, MessageScreen)
        await pilot.press("escape")
        await until(pilot, MessageScreen, "DONE")
        await pilot.press("q")
    assert len(course.made) == 1
