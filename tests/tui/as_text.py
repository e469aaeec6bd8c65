"""A screen as text, after some keys."""

from collections.abc import Awaitable, Callable
from typing import Any, TypeAlias

from textual.app import App
from textual.pilot import Pilot

from tests.tui.conftest import text_of
from tests.tui.settled import settled

Size: TypeAlias = tuple[int, int]
Pressed: TypeAlias = tuple[str, ...]
ScreenText: TypeAlias = Callable[[Any], str]
Golden: TypeAlias = Callable[[str, str], None]


async def as_text(
    make_app: Callable[[], App[Any]],
    size: Size,
    pressed: Pressed,
    wait: Callable[[Pilot[Any]], Awaitable[None]] = settled,
) -> str:
    """What ``make_app`` shows once ``pressed`` is done. Done twice: nothing on the screen may hang
    on the clock or on chance. No control character may reach the terminal.
    """
    shown = []
    for _ in range(2):
        app = make_app()
        async with app.run_test(size=size) as pilot:
            await settled(pilot)
            await pilot.press(*pressed)
            await wait(pilot)
            shown.append(text_of(app))
    assert shown[0] == shown[1]
    assert "\x1b" not in shown[0]
    return shown[0]
