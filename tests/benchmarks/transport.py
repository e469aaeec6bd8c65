"""How long a reading takes from the scale's end to the pipeline, by cable and by radio.

Run: ``python -m tests.benchmarks.transport``. Serial goes through pyserial over a
pseudo-terminal, Bluetooth through bleak and a message bus to a fake BlueZ in this same event
loop, so that its figure bears the fake's own work too, and no radio: a real connection interval
(7.5 to 50 ms) comes on top. "arrival" is the stamp on the reading, against the moment it was
sent; "pipeline" is when ``Pipeline.feed`` had made a Frame of it. In ms, from SECONDS of each.
"""

import asyncio
import os
import tempfile
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

from pourcoach.domain.inputs import Reading
from pourcoach.pipeline import Pipeline
from pourcoach.scales.open import open_scale
from tests.scales.fake_bluez import FakeBlueZ, PrivateBus
from tests.scales.fake_serial import FakeSerialScale
from tests.wire.scale_lines import encode_checked

RATES_HZ = (10, 80, 500)
SECONDS = 4.0


@asynccontextmanager
async def by_cable(folder: Path) -> AsyncIterator[tuple[str, Callable[[bytes], object]]]:
    """A scale's address, and how its end sends a line."""
    fake = FakeSerialScale(folder / "ttyFAKE0")
    fake.plug()
    yield f"serial:{fake.link}", fake.send
    fake.unplug()


@asynccontextmanager
async def by_radio(folder: Path) -> AsyncIterator[tuple[str, Callable[[bytes], object]]]:
    """The same over the fake Bluetooth service."""
    bus = PrivateBus(folder)
    await bus.start()
    os.environ["DBUS_SYSTEM_BUS_ADDRESS"] = bus.address
    bluez = FakeBlueZ(bus.address)
    await bluez.start()
    device = bluez.add_line_scale()
    yield "ble:bench", device.send_lines
    await bluez.stop()
    await bus.stop()


async def latencies(
    address: str, send: Callable[[bytes], object], rate_hz: int
) -> tuple[list[float], list[float]]:
    """Seconds to the arrival stamp and to the Frame, for each reading."""
    sent_s: dict[int, float] = {}
    arrival, framed = [], []
    pipeline = Pipeline()
    count = int(SECONDS * rate_hz)
    async with open_scale(address, time.perf_counter) as scale:
        await asyncio.sleep(0.2)  # a Bluetooth scale is listened to a moment after it is open
        sending = asyncio.create_task(send_lines(send, sent_s, rate_hz, count))
        async for item in scale:
            if isinstance(item, Reading) and item.sequence is not None:
                pipeline.feed(item)
                framed.append(time.perf_counter() - sent_s[item.sequence])
                arrival.append(item.t_s - sent_s[item.sequence])
                if item.sequence == count - 1:
                    break
        await sending
    return arrival, framed


async def send_lines(
    send: Callable[[bytes], object], sent_s: dict[int, float], rate_hz: int, count: int
) -> None:
    """Lines at a steady rate."""
    began_s = time.perf_counter()
    for n in range(count):
        line = encode_checked(n, n * 1000 // rate_hz, 100.0)
        sent_s[n] = time.perf_counter()
        send(line)
        await asyncio.sleep(max(0.0, began_s + (n + 1) / rate_hz - time.perf_counter()))


def row(values: list[float]) -> str:
    """Median, 95th of a hundred, and worst, in ms."""
    ordered = sorted(values)
    picks = (ordered[len(ordered) // 2], ordered[int(0.95 * len(ordered))], ordered[-1])
    return "".join(f"{pick * 1000:8.2f}" for pick in picks)


async def main() -> None:
    heading = f"{'median':>8}{'p95':>8}{'worst':>8}"
    print(f"{'':24}{'arrival':>16}{'':8}{'pipeline':>16}")
    print(f"{'way':<12}{'Hz':>5}{'lines':>7}{heading}{heading}")
    for way in (by_cable, by_radio):
        for rate_hz in RATES_HZ:
            with tempfile.TemporaryDirectory() as folder:
                async with way(Path(folder)) as (address, send):
                    arrival, framed = await latencies(address, send, rate_hz)
            print(f"{way.__name__:<12}{rate_hz:5}{len(framed):7}{row(arrival)}{row(framed)}")


if __name__ == "__main__":
    asyncio.run(main())
