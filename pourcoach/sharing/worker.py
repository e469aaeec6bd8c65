"""Work on a network in a thread of its own, so that nothing it does can hold a brew up."""

import asyncio
import threading
from collections.abc import Iterable
from types import TracebackType
from typing import Self

from pourcoach.domain.units import Seconds

# What does not end by then is left: the thread dies with the program.
END_WITHIN_S: Seconds = 3.0
CANCEL_AGAIN_S: Seconds = 0.1


class Worker:
    """Runs one coroutine from the beginning of a ``with`` to its end, in its own loop."""

    def __init__(self, name: str) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None
        self._thread = threading.Thread(target=self._work, name=name, daemon=True)
        self._ready = threading.Event()

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """End the work and wait for it a little."""
        self._ready.wait(END_WITHIN_S)
        loop, task = self._loop, self._task
        if loop is not None and task is not None and not loop.is_closed():
            try:
                loop.call_soon_threadsafe(task.cancel)
            except RuntimeError:
                return  # it has just ended by itself
        self._thread.join(END_WITHIN_S)

    async def run(self) -> None:
        """The work; cancelled at the end."""
        raise NotImplementedError

    def failed(self, error: Exception) -> None:
        """Called when the work has ended by a fault of the program, since nobody waits for it."""

    def _work(self) -> None:
        # The client library watches sockets in a way that Windows' usual loop cannot.
        with asyncio.Runner(loop_factory=asyncio.SelectorEventLoop) as runner:
            runner.run(self._guarded())

    async def _guarded(self) -> None:
        self._loop = loop = asyncio.get_running_loop()
        # A connection that breaks leaves callbacks and futures behind, of which the loop would
        # print a trace over whatever a screen draws; what matters the work itself reports.
        loop.set_exception_handler(lambda _loop, _context: None)
        self._task = asyncio.current_task()
        self._ready.set()
        try:
            await self.run()
        except asyncio.CancelledError:
            return
        except Exception as error:
            self.failed(error)


async def end_tasks(tasks: Iterable[asyncio.Task[None]]) -> None:
    """Cancel until all have ended; what they raise is dropped.

    Once is not enough: before Python 3.12 ``asyncio.wait_for``, on which the broker's client waits,
    loses a cancellation that comes as what it waited for is done.
    """
    pending = set(tasks)
    while pending:
        for task in pending:
            task.cancel()
        done, pending = await asyncio.wait(pending, timeout=CANCEL_AGAIN_S)
        await asyncio.gather(*done, return_exceptions=True)
