"""NO_COLOR (no-color.org): Textual's filter fails at any cell that has no style of its own."""

from pathlib import Path
from typing import Any

import pytest

from pourcoach.tui.forms.strength_screen import StrengthScreen
from pourcoach.tui.forms.water_screen import WaterScreen
from tests.tui.conftest import strips_of
from tests.tui.made_review import FakeKeeper, ReviewApp
from tests.tui.screen_app import ScreenApp
from tests.tui.start.test_start_screen import StartApp


def apps() -> list[Any]:
    return [
        ReviewApp(keeper=FakeKeeper()),
        StartApp(),
        ScreenApp(StrengthScreen(dose_g=20.0, water_g=320.0)),
        ScreenApp(WaterScreen()),
    ]


@pytest.mark.parametrize("number", range(4))
async def test_every_screen_can_be_shown_without_colours(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    app = apps()[number]
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("1")
        await pilot.pause()
        assert app.no_color
        assert all(segment.style is not None for strip in strips_of(app) for segment in strip)
