"""Unmodified bleak over a fake BlueZ: what a scale sends and what it is sent both arrive."""

import asyncio
from dataclasses import replace

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.raw_bytes import RawChunk, overhear
from pourcoach.wire.described.reader import read_description
from pourcoach.wire.description import Gatt, ScaleCommands
from tests.scales.fake_bluez import FakeBlueZ
from tests.scales.fake_device import LINES_NOTIFY, LINES_SERVICE, LINES_WRITE, WEIGHT_SCALE, Device
from tests.scales.listener import listening, now
from tests.scales.over_radio import connected, heard_again, lines, settled, supervised
from tests.wire.scale_lines import encode_checked

WEIGHT_MEASUREMENT = "00002a9d-0000-1000-8000-00805f9b34fb"

FRAMES = read_description(
    """
    name = "frames"
    transport = "ble"
    factor = 0.1
    gatt = {service = "fff0", notify = "fff1", write = "fff2"}
    [layout]
    length = 5
    start = "aa"
    weight = {offset = 1, kind = "int24", order = "big"}
    checksum = {kind = "xor8", offset = 4}
    [commands]
    start = {hex = "01"}
    tare = {hex = "aa 02"}
    """
)


async def test_lines_split_at_an_mtu_of_23_and_in_bursts(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    weights = [n / 4 for n in range(60)]
    data = lines(*weights)
    async with listening(supervised()) as heard:
        await connected(device)
        # A connection interval's worth at once: five readings of 80 a second.
        for begin in range(0, len(data), 130):
            device.send_lines(data[begin : begin + 130], mtu=23)
            await asyncio.sleep(0.005)
        await heard.until(lambda heard: len(heard.grams) == 60)
    assert heard.grams == weights
    readings = [item for item in heard.items if isinstance(item, Reading)]
    assert [reading.device_s for reading in readings] == [n * 12 / 1000 for n in range(60)]


@pytest.mark.parametrize(
    ("flags", "kind"),
    [(["write"], "request"), (["write-without-response"], "command")],
)
async def test_tare_is_written_as_the_characteristic_takes_it(
    bluez: FakeBlueZ, flags: list[str], kind: str
) -> None:
    device = bluez.add_device("AA:BB:CC:00:00:01", "bench", [LINES_SERVICE])
    device.add_service(LINES_SERVICE, {LINES_NOTIFY: ["notify"], LINES_WRITE: flags})
    scale = supervised()
    async with listening(scale) as heard:
        await connected(device)
        device.send_lines(lines(250.0))
        await heard.until(lambda heard: heard.grams == [250.0])
        assert await scale.tare()
    written = device.characteristics[LINES_WRITE]
    assert (written.written, written.write_kinds) == ([b"tare\n"], [kind])


async def test_a_described_layout_is_read_started_and_tared(bluez: FakeBlueZ) -> None:
    base = "0000{}-0000-1000-8000-00805f9b34fb"
    device = bluez.add_device("AA:BB:CC:00:00:01", "frames", [])
    device.add_service(
        base.format("fff0"), {base.format("fff1"): ["notify"], base.format("fff2"): ["write"]}
    )
    scale = supervised("frames", FRAMES)
    async with listening(scale) as heard:
        await connected(device)
        device.notify(base.format("fff1"), bytes.fromhex("aa 0004d2 7c aa 0004"))
        device.notify(base.format("fff1"), bytes.fromhex("d3 7d"))
        await heard.until(lambda heard: len(heard.grams) == 2)
        assert await scale.tare()
    assert heard.grams == pytest.approx([123.4, 123.5])
    assert device.characteristics[base.format("fff2")].written == [b"\x01", b"\xaa\x02"]


@pytest.mark.parametrize(
    ("flags", "lengths"), [(["write"], [50]), (["write-without-response"], [20, 20, 10])]
)
async def test_a_long_command_is_split_where_nobody_acknowledges_it(
    bluez: FakeBlueZ, flags: list[str], lengths: list[int]
) -> None:
    command = bytes(range(50))  # A write without response carries 20 bytes at an MTU of 23.
    description = replace(FRAMES, commands=ScaleCommands(tare=command))
    base = "0000{}-0000-1000-8000-00805f9b34fb"
    device = bluez.add_device("AA:BB:CC:00:00:01", "frames", [])
    device.add_service(
        base.format("fff0"), {base.format("fff1"): ["notify"], base.format("fff2"): flags}
    )
    scale = supervised("frames", description)
    async with listening(scale) as heard:
        await connected(device)
        device.notify(base.format("fff1"), bytes.fromhex("aa 0004d2 7c"))
        await heard.until(lambda heard: len(heard.grams) == 1)
        assert await scale.tare()
    written = device.characteristics[base.format("fff2")].written
    assert [len(part) for part in written] == lengths
    assert b"".join(written) == command


async def test_the_weight_scale_service_and_its_steps_are_reported(bluez: FakeBlueZ) -> None:
    device = bluez.add_device("AA:BB:CC:00:00:01", "bathroom", [WEIGHT_SCALE])
    device.add_service(WEIGHT_SCALE, {WEIGHT_MEASUREMENT: ["indicate"]})
    scale = supervised("bathroom")
    async with listening(scale) as heard:
        await connected(device)
        device.notify(WEIGHT_MEASUREMENT, bytes.fromhex("00 4000"))
        await heard.until(lambda heard: heard.grams == [320.0])
        await asyncio.sleep(0.5)  # it sends only changes: its silence is no loss
        device.notify(WEIGHT_MEASUREMENT, bytes.fromhex("00 4100"))
        await heard.until(lambda heard: heard.grams == [320.0, 325.0])
        assert await scale.tare() is False
    (link,) = heard.links
    assert link.up
    assert link.why.startswith("this scale sends its weight in steps of 5 g")


async def test_an_unknown_scale_is_overheard_on_all_that_it_notifies(bluez: FakeBlueZ) -> None:
    base = "0000{}-0000-1000-8000-00805f9b34fb"
    service, weight, command, closed = (base.format(n) for n in ("fff0", "fff1", "fff2", "fff3"))
    device = bluez.add_device("AA:BB:CC:00:00:01", "unknown", [])
    device.add_service(service, {weight: ["notify"], command: ["write"]})
    device.add_service(closed, {base.format("fff4"): ["indicate"], base.format("fff5"): ["read"]})
    heard: list[RawChunk] = []
    lost: list[str] = []
    address = ScaleAddress.parse("ble:unknown")
    async with overhear(address, now, heard.append, lost.append):
        device.notify(weight, b"\x01\x02")
        device.notify(base.format("fff4"), b"\x03")
        await settled(lambda: len(heard) == 2)
        device.drop()
        await settled(lambda: bool(lost))
    assert [(one.data, one.gatt) for one in heard] == [
        (b"\x01\x02", Gatt(service, weight, command)),
        (b"\x03", Gatt(closed, base.format("fff4"), None)),
    ]


async def test_doubled_notifications_count_once(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        for n in range(20):
            device.notify(LINES_NOTIFY, encode_checked(n, n * 12, float(n)), times=2)
        await heard.until(lambda heard: len(heard.grams) >= 20)
        await asyncio.sleep(0.05)
    assert heard.grams == [float(n) for n in range(20)]


async def test_doubled_pieces_of_lines_count_once(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        for n in range(20):
            line = encode_checked(1000 + n, 100_000 + n * 12, 100.0 + n)
            assert len(line) > 20
            for piece in (line[:20], line[20:]):
                device.notify(LINES_NOTIFY, piece, times=2)
        await heard.until(lambda heard: len(heard.grams) >= 20)
        await asyncio.sleep(0.05)
    assert heard.grams == [100.0 + n for n in range(20)]


@pytest.mark.parametrize("fault", ["WriteValue", "hangs"])
async def test_a_tare_that_does_not_go_out_says_no(bluez: FakeBlueZ, fault: str) -> None:
    device = bluez.add_line_scale()
    scale = supervised()
    async with listening(scale) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
        if fault == "hangs":
            bluez.delay("WriteValue", 3.0)
        else:
            bluez.fail(fault, "org.bluez.Error.Failed", "write failed")
        sending = asyncio.create_task(keep_sending(device))
        assert await scale.tare() is False
        sending.cancel()


async def keep_sending(device: Device) -> None:
    while True:
        device.send_lines(lines(1.0))
        await asyncio.sleep(0.03)
