"""The frames that a brew screen is driven by, and how long it takes to draw one."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from textual.app import App
from textual.pilot import Pilot

from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from tests.tui.as_text import Size
from tests.tui.made_frames import make_frame

# More than the time between two draws of all, so that the newest frame is on the screen.
DRAWN_S = 0.3

MakeFrame = Callable[..., Frame]

Frames = list[Frame]


@asynccontextmanager
async def pouring(app: App[Any], session: Any, size: Size = (80, 24)) -> AsyncIterator[Pilot[Any]]:
    """The app while ``session``, which it shows, is at 10 s and 30 g of a pour."""
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        session.feed(make_frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        yield pilot
