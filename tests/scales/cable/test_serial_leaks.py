"""A port leaves no thread, descriptor or task behind, however it ends."""

import asyncio
import sys
from dataclasses import replace
from itertools import count

import pytest

from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import QUICK, Listener, listening, open_descriptors, serial_threads
from tests.scales.over_cable import supervised
from tests.wire.scale_lines import encode_checked

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")


async def test_200_openings_leak_no_thread_and_no_descriptor(fake_scale: FakeSerialScale) -> None:
    async with supervised(fake_scale.link):
        pass
    before = open_descriptors()
    for _ in range(200):
        async with supervised(fake_scale.link):
            pass
    assert serial_threads() == []
    assert open_descriptors() == before
    assert len(asyncio.all_tasks()) == 1


async def test_200_unpluggings_in_a_row_leave_nothing(fake_scale: FakeSerialScale) -> None:
    pace = replace(QUICK, first_wait_s=0.0, longest_wait_s=0.0)
    async with listening(supervised(fake_scale.link, pace)) as heard:
        before: tuple[int, int, int] | None = None
        for times in range(202):
            for n in range(200):
                fake_scale.send(encode_checked(n, n * 12, float(times)))
                if float(times) in heard.grams[-1:]:
                    break
                await asyncio.sleep(0.002)
            held = (open_descriptors(), len(serial_threads()), len(asyncio.all_tasks()))
            before = before or held
            assert held == before
            fake_scale.unplug()
            await heard.until(lambda heard, lost=times + 1: lost_times(heard) == lost)
            fake_scale.plug()
    assert [link.up for link in heard.links] == [False, True] * 201 + [False]


def lost_times(heard: Listener) -> int:
    return sum(not link.up for link in heard.links)


async def test_cancelled_at_any_moment_nothing_is_left(fake_scale: FakeSerialScale) -> None:
    """A little later each time, until all is done."""

    async def use() -> None:
        async with supervised(fake_scale.link) as scale:
            await scale.tare()

    for step in count():
        task = asyncio.create_task(use())
        await asyncio.sleep(step * 0.0001)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        if fake_scale.has_received():
            break
    assert serial_threads() == []
    assert len(asyncio.all_tasks()) == 1
