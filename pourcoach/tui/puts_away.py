"""A screen that saves what runs behind it before it is left."""

import asyncio
from contextlib import suppress

from textual.screen import ScreenResultType
from textual.worker import Worker, WorkerCancelled, WorkerFailed

from pourcoach.domain.units import Seconds
from pourcoach.tui.leaves_once import LeavesOnce

# A scale that does not let go by then is left; the tape is written as it goes.
STOP_WITHIN_S: Seconds = 3.0


class PutsAway(LeavesOnce[ScreenResultType]):
    """Only when the tapes are closed does anybody else get the screen."""

    _leaving = False

    async def put_away(self) -> None:
        """End what runs, saving what there is. Returns once it has let go, or was left."""
        raise NotImplementedError

    def leave_with(self, result: ScreenResultType | None) -> None:
        """Put away, then give the result and leave; a second call changes nothing."""
        if not self._leaving:
            self._leaving = True
            self.run_worker(self._put_away_and_leave(result), name="leaving")

    async def _put_away_and_leave(self, result: ScreenResultType | None) -> None:
        await self.put_away()
        # Help or a question may have been called up meanwhile.
        self.pop_until_active()
        self.dismiss(result)


async def has_stopped(worker: Worker[None] | None) -> None:
    """Wait for a session that was asked to stop, for STOP_WITHIN_S at most."""
    if worker is not None:
        with suppress(WorkerFailed, WorkerCancelled, TimeoutError):
            async with asyncio.timeout(STOP_WITHIN_S):
                await worker.wait()
