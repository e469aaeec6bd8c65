"""The frames that a brew screen is driven by, and when it has drawn them."""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from textual.app import App
from textual.pilot import Pilot

from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.tui.brew.brew_board import BrewBoard
from pourcoach.tui.brew.brew_screen import BrewScreen
from tests.patience import PATIENCE_S
from tests.tui.as_text import Size
from tests.tui.made_frames import make_frame

MakeFrame = Callable[..., Frame]

Frames = list[Frame]


@asynccontextmanager
async def pouring(app: App[Any], session: Any, size: Size = (80, 24)) -> AsyncIterator[Pilot[Any]]:
    """The app while ``session``, which it shows, is at 10 s and 30 g of a pour."""
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        session.feed(make_frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        yield pilot


async def drawn(pilot: Pilot[Any]) -> None:
    """Until the brew screen has drawn everything anew, by its own clocks, and that is painted."""
    (screen,) = (one for one in pilot.app.screen_stack if isinstance(one, BrewScreen))
    board = screen.query_one(BrewBoard)
    show, shown = board.show, asyncio.Event()

    def noting(*given: Any) -> None:
        show(*given)
        shown.set()

    board.show = noting  # type: ignore[method-assign]
    try:
        async with asyncio.timeout(PATIENCE_S):
            await shown.wait()
    finally:
        del board.show
    await pilot.pause()
