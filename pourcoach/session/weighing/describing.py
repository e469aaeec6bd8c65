"""Listens to a scale that is not known yet while a known weight comes and goes."""

import asyncio
from asyncio import sleep
from collections import Counter
from collections.abc import Awaitable, Callable, Sequence
from contextlib import AbstractAsyncContextManager
from dataclasses import dataclass
from typing import Any, TypeVar

from pourcoach.domain.errors import WorkError
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.link.connection import OnLost
from pourcoach.scales.raw_bytes import OnRawChunk, RawChunk
from pourcoach.session.weighing.asker import Asker
from pourcoach.wire.description import Gatt, Transport
from pourcoach.wire.unknown.capture import Capture, Chunk
from pourcoach.wire.unknown.wizard import propose

_Result = TypeVar("_Result")

# Each stretch: 60 readings of a slow scale.
STRETCH_S: Seconds = 6.0
# A display settles after the weight was moved.
SETTLE_S: Seconds = 2.0
SKIP = "s"
GO_ON = "g"


@dataclass(frozen=True, slots=True)
class HeardCapture:
    """What was captured, of one source of bytes."""

    capture: Capture
    gatt: Gatt | None
    """Which characteristic it was; None over serial."""


Listening = Callable[[OnRawChunk, OnLost], AbstractAsyncContextManager[None]]
"""Opens the scale; everything it sends goes to the first callable until the context is left, and
the second is given the reason where it is gone before."""


async def capture_scale(
    listening: Listening,
    asker: Asker,
    known_g: Grams,
    transport: Transport,
) -> list[HeardCapture]:
    """One capture for each characteristic that notified, the busiest first; one over serial.

    A step at which the weight did not do as asked is asked for again. Raises WorkError where
    nothing comes at all, and where the scale is lost, saying at which step.
    """
    guide = _Guide(asker, known_g, transport)
    async with listening(guide.heard, guide.lost):
        return await guide.capture()


class _Guide:
    def __init__(self, asker: Asker, known_g: Grams, transport: Transport) -> None:
        self._asker = asker
        self._known_g = known_g
        self._transport = transport
        self._heard: list[RawChunk] = []
        self._stretches: list[list[RawChunk]] = []
        self._lost: asyncio.Future[str] = asyncio.get_running_loop().create_future()
        self._step = ""
        self._judging = True
        """Whether steps are looked at; no longer once one was taken as it is."""

    def heard(self, one: RawChunk) -> None:
        self._heard.append(one)

    def lost(self, why: str) -> None:
        if not self._lost.done():
            self._lost.set_result(why)

    async def capture(self) -> list[HeardCapture]:
        """Step by step."""
        known_g = self._known_g
        await self._take("empty", "Take everything off the scale, then press Enter.")
        await self._take(
            "with the weight on",
            f"Put {known_g:g} g on, then press Enter.",
            f"Nothing in what it sends has changed with the weight. Are the {known_g:g} g on?",
        )
        await self._take(
            "with the weight off again",
            "Take it off again, then press Enter.",
            "What it sends has not gone back to where it was. Is everything off?",
        )
        await self._take(
            "below zero",
            f"To learn how it sends less than nothing: put {known_g:g} g on, press the scale's own "
            "zero or tare key, take the weight off, then press Enter ('s' leaves this out).",
            "What it sends is not as far below zero as the weight is heavy. Was its key pressed "
            "with the weight on, and is the weight off now?",
            may_skip=True,
        )
        return self._captures()

    async def _take(
        self, step: str, ask: str, not_done: str = "", *, may_skip: bool = False
    ) -> None:
        """Ask for one step until it is seen to be done, left out, or taken as it is."""
        self._step = step
        kept: list[RawChunk] | None = None
        while True:
            answer = (await self._unless_lost(self._asker.ask(ask))).strip().lower()
            if may_skip and answer == SKIP:
                return
            if kept is not None and answer == GO_ON:
                self._stretches.append(kept)
                self._judging = False
                return
            self._stretches.append(await self._listen())
            if not (not_done and self._judging) or await asyncio.to_thread(self._moves_as_asked):
                return
            kept = self._stretches.pop()
            leave = f", {SKIP} to leave this out" if may_skip else ""
            ask = f"{not_done} Enter to try again{leave}, {GO_ON} to go on as it is:"

    async def _listen(self) -> list[RawChunk]:
        self._asker.say("Listening; leave it alone…")
        await self._unless_lost(sleep(SETTLE_S))
        self._heard.clear()
        await self._unless_lost(sleep(STRETCH_S))
        if not self._heard and not self._stretches:
            raise WorkError(
                "nothing came from the scale",
                "see that it is on and set to send by itself, and try another baud rate",
            )
        return list(self._heard)

    async def _unless_lost(self, doing: Awaitable[_Result]) -> _Result:
        """Its result. Raises WorkError as soon as the scale is lost."""
        task: asyncio.Future[_Result] = asyncio.ensure_future(doing)
        either: set[asyncio.Future[Any]] = {task, self._lost}
        try:
            await asyncio.wait(either, return_when=asyncio.FIRST_COMPLETED)
            if self._lost.done():
                raise WorkError(
                    f"{self._lost.result()} (at the step {self._step!r})",
                    "begin again; nothing was written",
                )
            return await task
        finally:
            if not task.done():
                task.cancel()
                await asyncio.gather(task, return_exceptions=True)

    def _moves_as_asked(self) -> bool:
        """Whether some number in what was heard so far follows the weight."""
        for heard in self._captures():
            try:
                if propose(heard.capture, "", gatt=heard.gatt):
                    return True
            except WorkError:
                # A characteristic that notifies now and then, as of a battery.
                continue
        return False

    def _captures(self) -> list[HeardCapture]:
        """Of the stretches so far; before the weight was taken off, as if it was as at first."""
        off = self._stretches[0]
        on, off_again, below = (
            self._stretches[index] if len(self._stretches) > index else None for index in (1, 2, 3)
        )
        sources = Counter(one.gatt for one in off)
        return [
            HeardCapture(
                Capture(
                    self._known_g,
                    off=_of(off, gatt),
                    on=_of(on or [], gatt),
                    off_again=_of(off if off_again is None else off_again, gatt),
                    below=_of(below or [], gatt),
                    transport=self._transport,
                ),
                gatt,
            )
            for gatt, _ in sources.most_common()
        ]


def _of(heard: Sequence[RawChunk], gatt: Gatt | None) -> tuple[Chunk, ...]:
    return tuple((one.t_s, one.data) for one in heard if one.gatt == gatt)
