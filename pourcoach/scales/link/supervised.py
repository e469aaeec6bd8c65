"""One supervisor for every live scale: connect, watch, report, wait, connect again."""

import asyncio
import math
import random
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from types import TracebackType
from typing import Self

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.units import Seconds
from pourcoach.scales.link.connection import Connection, Connector, NoConnectionError, close_fully
from pourcoach.scales.link.connection_reader import ConnectionReader
from pourcoach.scales.scale import Now
from pourcoach.wire.decoder import Decoder

# More in a second is no weighing but a flood: the fastest converters for weighing give as many.
MOST_IN_A_SECOND = 1000
# Readings not yet fetched, at most: left behind by a screen that stands still for a minute.
MOST_WAITING = 10_000
# The last command before leaving is not waited for longer.
LEAVE_WITHIN_S: Seconds = 1.0


@dataclass(frozen=True, slots=True)
class Patience:
    """How patient the supervisor is. Common practice; no published source."""

    first_wait_s: Seconds = 0.25
    """Before the first new attempt; doubled after each that fails."""
    longest_wait_s: Seconds = 8.0
    soon_wait_s: Seconds = 1.0
    """The longest wait while water may still run."""
    soon_for_s: Seconds = 60.0
    """How long after the last reading it may: longer than most pours."""
    jitter: float = 0.3
    """Each wait is off by up to this share, so that six scales do not fall in step."""
    proven_s: Seconds = 5.0
    """A session this long starts the waits anew: a shorter one may be a loose plug."""
    grace_s: Seconds = 3.0
    """A board that resets on opening takes 1 to 2 s to speak. Doubled after each mute session."""
    longest_grace_s: Seconds = 12.0
    silence_s: Seconds = 1.5
    """Without a reading this long a scale that was sending is taken for lost, or…"""
    silence_periods: int = 10
    """…this many of its own sample periods, where that is longer."""
    entry_s: Seconds = 1.5
    """Entering waits this long for the first attempt, to report at once what cannot be mended."""


class SupervisedScale:
    """A Scale over any Connector. Readings come as they arrive; a loss is reported and waited
    out."""

    def __init__(
        self, address: str, connector: Connector, now: Now, pace: Patience | None = None
    ) -> None:
        self._address = address
        self._connector = connector
        self._now = now
        self._pace = pace or Patience()
        self._random = random.Random()
        self._items: asyncio.Queue[Reading | Link | BaseException] = asyncio.Queue()
        self._session: ConnectionReader | None = None
        self._trouble: str | None = None
        self._noticed = False
        self._second_s: Seconds = float("-inf")
        self._in_second = 0
        self._flooded = False
        self._supervising: asyncio.Task[None] | None = None
        self._entered: asyncio.Future[None] | None = None

    @property
    def address(self) -> str:
        return self._address

    @property
    def decoder(self) -> Decoder | None:
        """The running session's decoder, for what it dropped and learnt; None while lost."""
        return None if self._session is None else self._session.decoder

    async def __aenter__(self) -> Self:
        """Raises WorkError or UsageError for what waiting cannot mend."""
        self._entered = asyncio.get_running_loop().create_future()
        self._supervising = asyncio.create_task(self._supervise(self._entered))
        self._supervising.add_done_callback(self._supervised)
        try:
            await asyncio.wait({self._entered}, timeout=self._pace.entry_s)
            if self._entered.done():
                self._entered.result()
            else:
                # The first attempt takes longer: whatever comes of it is reported as a Link.
                self._entered.cancel()
                self._report(f"looking for {self._connector.name}")
        except BaseException:
            await self._end()
            raise
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        await self._end()

    async def _end(self) -> None:
        if self._supervising is not None:
            self._supervising.cancel()
            await asyncio.gather(self._supervising, return_exceptions=True)
            self._supervising = None

    def _supervised(self, task: asyncio.Task[None]) -> None:
        error = None if task.cancelled() else task.exception()
        if error is not None:
            self._items.put_nowait(error)

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        while True:
            item = await self._items.get()
            if isinstance(item, BaseException):
                raise item
            yield item

    async def tare(self) -> bool:
        """Send the tare command. False where there is none, or the readings show no zero."""
        session = self._session
        dialect = self._connector.dialect
        if session is None or session.connection is None or dialect.tare is None:
            return False
        try:
            await session.connection.write(dialect.tare)
        except NoConnectionError:
            return False
        if dialect.tare_is_sure or session.takes_commands:
            return True
        return await session.comes_to_zero()

    async def _supervise(self, entered: asyncio.Future[None]) -> None:
        loop = asyncio.get_running_loop()
        wait_s = self._pace.first_wait_s
        lost_s = -math.inf
        mute_in_a_row = 0
        while True:
            session = ConnectionReader(self._connector, self._take)
            began_s = loop.time()
            try:
                async with self._connector.open(session.on_bytes, session.on_lost) as connection:
                    session.connection = connection
                    self._session = session
                    if not entered.done():
                        entered.set_result(None)
                    if self._connector.dialect.start is not None:
                        await connection.write(self._connector.dialect.start)
                    async with self._polling(connection), self._taking_leave(session):
                        why = await self._watch(session, mute_in_a_row)
            except NoConnectionError as error:
                why = str(error)
                if not entered.done() and error.lasting:
                    entered.set_exception(error)
                    return
            except PourcoachError as error:
                if entered.done():
                    raise
                entered.set_exception(error)
                return
            finally:
                session.over = True
                self._session = None
            if not entered.done():
                entered.set_result(None)
            self._report(why)
            if session.last_s is not None:
                lost_s = loop.time()
            if session.proven(loop.time() - began_s, self._pace.proven_s) or session.mute:
                # A mute session has its own patience: its grace.
                wait_s = self._pace.first_wait_s
            mute_in_a_row = mute_in_a_row + 1 if session.mute else 0
            await asyncio.sleep(
                wait_s * self._random.uniform(1 - self._pace.jitter, 1 + self._pace.jitter)
            )
            soon = loop.time() - lost_s < self._pace.soon_for_s
            wait_s = min(2 * wait_s, self._pace.soon_wait_s if soon else self._pace.longest_wait_s)

    @asynccontextmanager
    async def _polling(self, connection: Connection) -> AsyncIterator[None]:
        """Ask for readings while the context lasts, where the scale wants to be asked."""
        poll, period_s = self._connector.dialect.poll, self._connector.dialect.poll_s
        if poll is None:
            yield
            return

        async def ask() -> None:
            # A question that does not go out shows as silence: the watch reports it.
            with suppress(NoConnectionError):
                while True:
                    await connection.write(poll)
                    await asyncio.sleep(period_s)

        asking = asyncio.create_task(ask())
        try:
            yield
        finally:
            asking.cancel()
            await asyncio.gather(asking, return_exceptions=True)

    @asynccontextmanager
    async def _taking_leave(self, session: ConnectionReader) -> AsyncIterator[None]:
        """Send the last command as the context ends, where there is one and still a way."""
        try:
            yield
        finally:
            finish = self._connector.dialect.finish
            if finish is not None and session.connection and not session.lost.is_set():
                await close_fully(session.connection.write(finish), LEAVE_WITHIN_S)

    async def _watch(self, session: ConnectionReader, mute_in_a_row: int) -> str:
        """Until the session is over; a sentence on why."""
        loop = asyncio.get_running_loop()
        grace_s = min(self._pace.grace_s * 2**mute_in_a_row, self._pace.longest_grace_s)
        began_s = loop.time()
        while not session.lost.is_set():
            quiet_since_s = session.last_s
            if quiet_since_s is None:
                due_s = began_s + grace_s
            else:
                due_s = quiet_since_s + max(
                    self._pace.silence_s, self._pace.silence_periods * session.period_s
                )
            left_s = None if self._connector.dialect.on_change else due_s - loop.time()
            if left_s is not None and left_s <= 0:
                session.mute = quiet_since_s is None
                return session.silence()
            # Not wait_for: in Python 3.11 it swallows a cancellation that comes with the loss.
            with suppress(TimeoutError):
                async with asyncio.timeout(left_s):
                    await session.lost.wait()
        return session.why

    def _take(self, readings: list[Reading]) -> None:
        notice = self._connector.dialect.notice
        if self._trouble is not None or (notice and not self._noticed):
            self._trouble = None
            self._noticed = True
            self._items.put_nowait(Link(readings[0].t_s, up=True, why=notice))
        for reading in readings:
            if reading.t_s - self._second_s >= 1.0:
                self._second_s, self._in_second = reading.t_s, 0
            self._in_second += 1
            if self._in_second <= MOST_IN_A_SECOND and self._items.qsize() < MOST_WAITING:
                self._items.put_nowait(reading)
            elif not self._flooded:
                self._flooded = True
                why = (
                    f"{self._connector.name} sends more than {MOST_IN_A_SECOND} readings a second:"
                    " what is too much is left out; set it to 100 a second or fewer"
                )
                self._items.put_nowait(Link(reading.t_s, up=True, why=why))

    def _report(self, why: str) -> None:
        if why != self._trouble:
            self._trouble = why
            self._items.put_nowait(Link(self._now(), up=False, why=why))
