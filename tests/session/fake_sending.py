"""An unknown scale that sends, and whose time passes as it does."""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

import pytest

from pourcoach.scales.raw_bytes import RawChunk
from pourcoach.session.weighing import describing
from pourcoach.wire.description import Gatt
from tests.session.fake_bench import FakeBenchScale

SENT_EVERY_S = 0.1

Frames = Callable[[float, int], list[tuple[Gatt | None, bytes]]]
Sending = Callable[[FakeBenchScale, Frames], describing.Listening]


def in_its_own_time(monkeypatch: pytest.MonkeyPatch) -> Sending:
    """Who sends everything that a scale does. What waits for a time waits for so many frames,
    however fast or slow the machine is."""
    sent = 0

    async def sleep(lasts_s: float) -> None:
        until = sent + round(lasts_s / SENT_EVERY_S)
        while sent < until:  # noqa: ASYNC110 - the scale's sending is plain state
            await asyncio.sleep(0)

    def of(scale: FakeBenchScale, frames: Frames) -> describing.Listening:
        @asynccontextmanager
        async def listening(
            on_heard: Callable[[RawChunk], None], on_lost: Callable[[str], None]
        ) -> AsyncIterator[None]:
            async def send() -> None:
                nonlocal sent
                while True:
                    sent += 1
                    if scale.unplugged:
                        on_lost("the scale on FAKE is gone")
                    for gatt, data in frames(scale.grams, sent):
                        on_heard(RawChunk(sent * SENT_EVERY_S, data, gatt))
                    await asyncio.sleep(0)

            task = asyncio.create_task(send())
            try:
                yield
            finally:
                task.cancel()

        return listening

    monkeypatch.setattr(describing, "sleep", sleep)
    return of
