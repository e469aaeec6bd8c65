"""A radio link leaves no connection, descriptor or task behind, however it ends."""

import asyncio
import gc
from dataclasses import replace
from itertools import count

import pytest

from tests.scales.fake_bluez import FakeBlueZ
from tests.scales.fake_device import LINES_WRITE
from tests.scales.listener import QUICK, listening, open_descriptors
from tests.scales.over_radio import connected, heard_again, lines, settled, supervised

NO_WAITING = replace(QUICK, first_wait_s=0.0, longest_wait_s=0.0)


@pytest.mark.parametrize("turns", [0, 1, 2, 4, 8])
async def test_cancelled_at_any_moment_nothing_is_left(bluez: FakeBlueZ, turns: int) -> None:
    """At each call of the service, and some turns of the loop after it, until all is done."""
    device = bluez.add_line_scale()
    tared = device.characteristics[LINES_WRITE].written

    async def use() -> None:
        async with supervised() as scale:
            await scale.tare()

    async def at_rest() -> None:
        await settled(lambda: not device.connected)
        await settled(lambda: bluez.adapter is not None and not bluez.adapter.searching)

    await use()  # Bleak keeps its connection to the bus from its first use on.
    await at_rest()
    descriptors, tasks = open_descriptors(), len(asyncio.all_tasks())
    tared.clear()
    for calls in count(1):
        task = asyncio.create_task(use())
        await bluez.called(calls)
        for _ in range(turns):
            await asyncio.sleep(0)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        await at_rest()
        if tared:
            break
    gc.collect()
    assert open_descriptors() == descriptors
    assert len(asyncio.all_tasks()) == tasks


async def test_200_disconnects_in_a_row_leave_nothing(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    scale = supervised(pace=NO_WAITING)
    async with listening(scale) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
        device.drop()
        await connected(device, 2)
        gc.collect()
        descriptors, tasks = open_descriptors(), len(asyncio.all_tasks())
        for times in range(3, 203):
            device.drop()
            await connected(device, times)
            device.send_lines(lines(float(times)))
            await heard.until(lambda heard, grams=float(times): heard.grams[-1] == grams)  # type: ignore[misc]
        gc.collect()
        assert abs(open_descriptors() - descriptors) <= 1
        assert len(asyncio.all_tasks()) == tasks
    assert device.connections == 202
    assert not device.connected
