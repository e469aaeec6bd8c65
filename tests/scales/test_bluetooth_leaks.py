"""A radio link leaves no connection, descriptor or task behind, however it ends."""

import asyncio
import gc
from dataclasses import replace

from tests.scales.fake_bluez import FakeBlueZ
from tests.scales.listener import QUICK, listening, open_descriptors
from tests.scales.radio import connected, heard_again, lines, settled, supervised

NO_WAITING = replace(QUICK, first_wait_s=0.0, longest_wait_s=0.0)


async def test_cancelled_at_any_moment_nothing_is_left(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    assert bluez.adapter is not None

    async def use() -> None:
        async with supervised() as scale:
            await connected(device)
            device.send_lines(lines(1.0))
            async for _ in scale:
                await scale.tare()

    reached = 0
    for step in range(120):
        task = asyncio.create_task(use())
        for _ in range(step):
            await asyncio.sleep(0)
        reached = max(reached, device.connections)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        await settled(lambda: not device.connected)
    await settled(lambda: bluez.adapter is not None and not bluez.adapter.searching)
    assert reached > 0, "no step came as far as a connection"


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
