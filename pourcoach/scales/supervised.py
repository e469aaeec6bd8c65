"""One supervisor for every live scale: connect, watch, tell, wait, connect again."""

import asyncio
import random
from collections.abc import AsyncIterator, Callable
from contextlib import suppress
from dataclasses import dataclass
from types import TracebackType
from typing import Self

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.connection import Connection, Connector, NoConnectionError, close_fully
from pourcoach.scales.scale import Now
from pourcoach.wire.decoder import Decoder

# A scale told to zero itself shows it within this; half a second spans five readings at 10 Hz.
ZERO_WITHIN_S: Seconds = 0.5
# The last command before leaving is not waited for longer.
LEAVE_WITHIN_S: Seconds = 1.0
# What counts as zero then; hand-held bench scales zero to their step, at most 1 g.
ZERO_G: Grams = 1.0


@dataclass(frozen=True, slots=True)
class Pace:
    """How patient the supervisor is. Common practice; no published source."""

    first_wait_s: Seconds = 0.25
    """Before the first new attempt; doubled after each that fails."""
    longest_wait_s: Seconds = 8.0
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
    """Entering waits this long for the first attempt, to tell at once what cannot be mended."""


class SupervisedScale:
    """A Scale over any Connector. Readings come as they arrive; a loss is told and waited out."""

    def __init__(
        self, address: str, connector: Connector, now: Now, pace: Pace | None = None
    ) -> None:
        self._address = address
        self._connector = connector
        self._now = now
        self._pace = pace or Pace()
        self._random = random.Random()
        self._items: asyncio.Queue[Reading | Link | BaseException] = asyncio.Queue()
        self._session: _Session | None = None
        self._trouble: str | None = None
        self._noticed = False
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
                # The first attempt takes longer: whatever comes of it is told as a Link.
                self._entered.cancel()
                self._tell(f"looking for {self._connector.name}")
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
        if dialect.tare_is_sure or getattr(session.decoder, "checked", False):
            return True
        return await session.comes_to_zero()

    async def _supervise(self, entered: asyncio.Future[None]) -> None:
        loop = asyncio.get_running_loop()
        wait_s = self._pace.first_wait_s
        mute_in_a_row = 0
        while True:
            session = _Session(self._connector, self._take)
            began_s = loop.time()
            try:
                async with self._connector.open(session.on_bytes, session.on_lost) as connection:
                    session.connection = connection
                    self._session = session
                    if not entered.done():
                        entered.set_result(None)
                    if self._connector.dialect.start is not None:
                        await connection.write(self._connector.dialect.start)
                    try:
                        why = await self._watch(session, mute_in_a_row)
                    finally:
                        await self._take_leave(session)
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
            self._tell(why)
            if session.proven(loop.time() - began_s, self._pace.proven_s) or session.mute:
                # A mute session has its own patience: its grace.
                wait_s = self._pace.first_wait_s
            mute_in_a_row = mute_in_a_row + 1 if session.mute else 0
            await asyncio.sleep(
                wait_s * self._random.uniform(1 - self._pace.jitter, 1 + self._pace.jitter)
            )
            wait_s = min(2 * wait_s, self._pace.longest_wait_s)

    async def _take_leave(self, session: "_Session") -> None:
        finish = self._connector.dialect.finish
        if finish is None or session.connection is None or session.lost.is_set():
            return
        with suppress(NoConnectionError):
            await close_fully(session.connection.write(finish), LEAVE_WITHIN_S)

    async def _watch(self, session: "_Session", mute_in_a_row: int) -> str:
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
            self._items.put_nowait(reading)

    def _tell(self, why: str) -> None:
        if why != self._trouble:
            self._trouble = why
            self._items.put_nowait(Link(self._now(), up=False, why=why))


class _Session:
    """One connection's bytes. Once it is over, late callbacks of its connection are ignored."""

    def __init__(self, connector: Connector, take: Callable[[list[Reading]], None]) -> None:
        self._connector = connector
        self.decoder: Decoder | None = None
        """Made as the first bytes arrive: before, it may not be known how the scale speaks."""
        self.connection: Connection | None = None
        self.lost = asyncio.Event()
        self.why = ""
        self.over = False
        self.mute = False
        """Whether it ended without a single reading."""
        self.last_s: Seconds | None = None
        """Loop time of the last reading."""
        self._first_s: Seconds = 0.0
        self._count = 0
        self._take = take
        self._newest_g: Grams = 0.0
        self._arrived = asyncio.Event()

    def on_bytes(self, data: bytes, t_s: Seconds) -> None:
        if self.over:
            return
        if self.decoder is None:
            self.decoder = self._connector.dialect.new_decoder()
        readings = self.decoder.feed(data, t_s)
        if not readings:
            return
        self.last_s = asyncio.get_running_loop().time()
        if self._count == 0:
            self._first_s = self.last_s
        self._count += len(readings)
        self._newest_g = readings[-1].grams
        self._arrived.set()
        self._take(readings)

    def on_lost(self, why: str) -> None:
        if not self.over:
            self.why = why
            self.lost.set()

    @property
    def period_s(self) -> Seconds:
        """Mean time between readings; 0 while it cannot be said."""
        if self._count < 2 or self.last_s is None:
            return 0.0
        return (self.last_s - self._first_s) / (self._count - 1)

    def proven(self, lasted_s: Seconds, enough_s: Seconds) -> bool:
        return self._count > 0 and lasted_s >= enough_s

    def silence(self) -> str:
        """The sentence for a connection that stands while no reading comes."""
        name, remedy = self._connector.name, self._connector.silence_remedy
        if self._count:
            return f"{name} has stopped sending; {remedy}"
        if self.decoder is None:
            return f"{name} sends nothing: {remedy}"
        reasons = self.decoder.dropped.most_common(1)
        because = f" ({reasons[0][0].value})" if reasons else ""
        return (
            f"what {name} sends is no weight{because}: check its baud rate and format, "
            "or describe it with 'pourcoach scales describe'"
        )

    async def comes_to_zero(self) -> bool:
        with suppress(TimeoutError):
            async with asyncio.timeout(ZERO_WITHIN_S):
                while abs(self._newest_g) > ZERO_G:
                    self._arrived.clear()
                    await self._arrived.wait()
        return abs(self._newest_g) <= ZERO_G
