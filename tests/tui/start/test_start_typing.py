"""What is typed on the start screen: addresses and paths."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pourcoach.tui.start.picked import StartAction
from tests.tui.start.start_app import StartApp, answer


async def test_a_typed_address_is_picked_at_once() -> None:
    start = await answer("a", *"serial:COM3", "enter", "enter")
    assert start is not None
    assert start.scale == "serial:COM3"


async def test_a_bad_address_is_reported(screen_text: Callable[[Any], str]) -> None:
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("a", *"nonsense", "enter")
        await pilot.pause()
        assert "'nonsense' is no scale address" in screen_text(app)


async def test_a_plan_file_is_picked_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my.toml").write_text("dose_g = 15\nratio = 16\n", encoding="utf-8")
    start = await answer("p", *"my.toml", "enter", "enter")
    assert start is not None
    assert (start.plan.dose_g, start.plan.water_g) == (15.0, 240.0)


async def test_a_bad_plan_file_is_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, screen_text: Callable[[Any], str]
) -> None:
    monkeypatch.chdir(tmp_path)
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("p", *"no.toml", "enter")
        await pilot.pause()
        assert "cannot read the plan file no.toml" in screen_text(app)


async def test_a_recording_is_opened_by_its_path_which_tab_completes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(Path(__file__).parents[3])
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("f", *"recordings/sta")
        await pilot.pause(0.3)
        await pilot.press("tab", "enter")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
    assert app.start is not None
    assert (app.start.action, app.start.recording) == (
        StartAction.REPLAY,
        Path("recordings/stall.jsonl"),
    )
