"""The click that only brings the terminal to the front."""

from typing import Any

import pytest
from textual import events

from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.focus_click import FOCUS_CLICK_S
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.session_view import SessionView
from tests.reports.made_brew import USUAL_RUBRIC
from tests.tui.fake_sessions import FakeBrew


def mouse(kind: type[Any], at_s: float) -> Any:
    event = kind(None, 5, 5, 0, 0, 1, shift=False, meta=False, ctrl=False)
    event.time = at_s
    return event


def focus(at_s: float) -> events.AppFocus:
    event = events.AppFocus()
    event.time = at_s
    return event


def click(at_s: float) -> list[events.Event]:
    return [mouse(events.MouseDown, at_s), mouse(events.MouseUp, at_s + 0.1)]


@pytest.mark.parametrize(
    ("sent", "asked"),
    [
        (click(10.0), ["main"]),
        ([events.AppBlur(), *click(10.0)], []),
        ([events.AppBlur(), *click(10.0), *click(10.5)], ["main"]),
        ([events.AppBlur(), focus(10.0), *click(10.05)], []),
        ([events.AppBlur(), *click(10.0), focus(10.1), *click(11.0)], ["main"]),
        ([events.AppBlur(), focus(10.0), *click(10.0 + FOCUS_CLICK_S + 0.01)], ["main"]),
    ],
    ids=["clicked", "raised", "raised-then-clicked", "reported-first", "reported-late", "alt-tab"],
)
async def test_it_does_nothing_else(sent: list[events.Event], asked: list[str]) -> None:
    brew = FakeBrew()

    async def story(app: PourcoachApp) -> None:
        await app.show(SessionView(brew))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        for event in sent:
            app.post_message(event)
        await pilot.pause()
        assert brew.asked == asked
