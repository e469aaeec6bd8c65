"""Whatever is pressed, in whatever order and at whatever size, the app goes on."""

import random
from pathlib import Path

import pytest

from pourcoach.tui.renderables.glyphs import FULL
from tests.tui.made_review import FakeKeeper, ReviewApp
from tests.tui.start.test_start_screen import StartApp

KEYS = (
    *"abcdeflmnoprstuwxy0123456789",
    *("space", "enter", "escape", "tab", "left", "right", "up", "down", "pageup", "pagedown"),
    *("question_mark", "f1", "f2", "f3", "f4", "home", "end", "shift+tab", "backspace"),
)
PRESSED = 60


@pytest.mark.parametrize("seed", range(3))
async def test_on_the_start_screen(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    await press_at_random(StartApp(), seed)


@pytest.mark.parametrize("seed", range(3))
async def test_on_the_review(seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    await press_at_random(ReviewApp(glyphs=FULL, keeper=FakeKeeper()), seed)


async def press_at_random(app: StartApp | ReviewApp, seed: int) -> None:
    """Twice at once now and then, as a bouncing key or an impatient hand does."""
    chance = random.Random(seed)
    async with app.run_test(size=(100, 30)) as pilot:
        for _ in range(PRESSED):
            key = chance.choice(KEYS)
            for _ in range(chance.choice((1, 1, 2))):
                app.simulate_key(key)
            if chance.random() < 0.1:
                await pilot.resize_terminal(chance.randint(5, 140), chance.randint(2, 50))
            if chance.random() < 0.3:
                await pilot.pause()
        await pilot.pause()
        assert app.return_code is None
