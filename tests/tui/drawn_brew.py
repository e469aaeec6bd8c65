"""A brew drawn bit by bit in a real terminal; run by the test of partial updates.

Writes what the screen holds to the file named by its argument, again and again until it is quit:
on a busy machine the last frame may be drawn late.
"""

import asyncio
import sys
from pathlib import Path
from typing import Any

from tests.tui.conftest import BrewApp, text_of
from tests.tui.fake_sessions import FakeBrew
from tests.tui.made_frames import make_brew

SLICE = 24
BETWEEN_DRAWS_S = 0.06


class DrawnBrew(BrewApp):
    """Feeds its frames a slice a draw."""

    def __init__(self, session: FakeBrew, out: Path) -> None:
        super().__init__(session)
        self._session = session
        self._out = out

    def on_mount(self) -> None:
        super().on_mount()
        self.run_worker(self._feed())

    async def _feed(self) -> None:
        await self._session.running.wait()
        frames = make_brew(60.0)
        for start in range(0, len(frames), SLICE):
            self._session.feed(*frames[start : start + SLICE])
            await asyncio.sleep(BETWEEN_DRAWS_S)
        new = self._out.with_suffix(".new")
        while True:
            await asyncio.sleep(2 * BETWEEN_DRAWS_S)
            new.write_text(text_of(self), encoding="utf-8")
            new.replace(self._out)

    def _left(self, how: Any) -> None:
        super()._left(how)
        self.exit()


if __name__ == "__main__":
    DrawnBrew(FakeBrew(), Path(sys.argv[1])).run()
