"""Unmodified bleak over a fake BlueZ: every way a radio can fail has its sentence."""

import asyncio
import gc
import socket
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.bluetooth import BluetoothConnector, RadioPatience
from pourcoach.scales.bluetooth_search import BluetoothDevice, devices_in_sight
from pourcoach.scales.dialect import described_dialect, line_dialect
from pourcoach.scales.open import open_scale
from pourcoach.scales.overhear import Overheard, overhear
from pourcoach.scales.supervised import Pace, SupervisedScale
from pourcoach.wire.description import Gatt, ScaleCommands, ScaleDescription
from pourcoach.wire.description_reader import read_description
from tests.scales.fake_bluez import (
    GENERIC_ATTRIBUTE,
    LINES_NOTIFY,
    LINES_SERVICE,
    LINES_WRITE,
    Device,
    FakeBlueZ,
    PrivateBus,
)
from tests.scales.listener import QUICK, Listener, listening, now, open_descriptors
from tests.wire.scale_lines import encode_checked

WEIGHT_SCALE = "0000181d-0000-1000-8000-00805f9b34fb"
WEIGHT_MEASUREMENT = "00002a9d-0000-1000-8000-00805f9b34fb"
# Told as a Link, not raised, whatever it is: the first attempt is not waited for.
QUICK_LATE = replace(QUICK, entry_s=0.0)
NO_WAITING = replace(QUICK, first_wait_s=0.0, longest_wait_s=0.0)
PATIENCE = RadioPatience(search_s=0.3, connect_s=0.4, write_s=0.4, close_s=0.5)

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


def supervised(
    target: str = "bench",
    description: ScaleDescription | None = None,
    pace: Pace = QUICK,
) -> SupervisedScale:
    dialect = line_dialect() if description is None else described_dialect(description)
    gatt = None if description is None else description.gatt
    connector = BluetoothConnector(target, gatt, dialect, now, PATIENCE)
    return SupervisedScale(f"ble:{target}", connector, now, pace)


def lines(*grams: float) -> bytes:
    return b"".join(encode_checked(n, n * 12, weight) for n, weight in enumerate(grams))


async def settled(met: Callable[[], bool]) -> None:
    """Until the fake service has come to a state; what was sent to it arrives a moment later."""
    async with asyncio.timeout(3):
        while not met():  # noqa: ASYNC110 - the fake is plain state, as the real one is
            await asyncio.sleep(0.002)


async def connected(device: Device, times: int = 1) -> None:
    """Until the scale is connected and listened to."""
    await settled(
        lambda: (
            device.connections >= times
            and any(one.notifying for one in device.characteristics.values())
        )
    )


async def heard_again(device: Device, heard: Listener, grams: float) -> None:
    """Until a reading gets through."""
    async with asyncio.timeout(5):
        while grams not in heard.grams:
            device.send_lines(lines(grams))
            await asyncio.sleep(0.02)


def whys(heard: Listener) -> list[str]:
    return [link.why for link in heard.links if not link.up]


@pytest.mark.parametrize(
    "target", ["bench", "Bench", "AA:BB:CC:00:00:01", "aa:bb:cc:00:00:01", LINES_SERVICE]
)
async def test_found_by_name_address_and_service(bluez: FakeBlueZ, target: str) -> None:
    bluez.add_line_scale("other", "AA:BB:CC:00:00:02").uuids.clear()
    device = bluez.add_line_scale()
    async with listening(supervised(target)) as heard:
        await connected(device)
        device.send_lines(lines(1.0))
        await heard.until(lambda heard: heard.grams == [1.0])
    assert heard.links == []
    assert not device.connected


async def test_the_address_opens_it(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(open_scale("ble:bench?as=reference-ble", now)) as heard:
        await connected(device)
        device.send_lines(lines(1.0))
        await heard.until(lambda heard: heard.grams == [1.0])


@pytest.mark.parametrize("address", ["ble:bench?speed=2", "ble:bench?as=reference-serial"])
async def test_wrong_addresses_are_wrong_use(address: str) -> None:
    with pytest.raises(UsageError):
        open_scale(address, now)


async def test_what_is_in_sight_with_its_strength(bluez: FakeBlueZ) -> None:
    bluez.add_line_scale()
    services = (LINES_SERVICE, GENERIC_ATTRIBUTE)
    assert await devices_in_sight(0.1) == [
        BluetoothDevice("AA:BB:CC:00:00:01", "bench", -60, services, "ble:bench")
    ]
    assert bluez.adapter is not None
    assert not bluez.adapter.searching


@pytest.mark.parametrize(
    ("name", "shown", "address"),
    [
        ("bar scale", "bar scale", "ble:bar scale"),
        ("scale?", "scale?", "ble:AA:BB:CC:00:00:01"),
        ("\x1b[2J\x07scale", None, "ble:AA:BB:CC:00:00:01"),
    ],
)
async def test_names_from_the_air_are_not_trusted(
    bluez: FakeBlueZ, name: str, shown: str | None, address: str
) -> None:
    bluez.add_line_scale(name)
    (device,) = await devices_in_sight(0.1)
    assert (device.name, device.address) == (shown, address)


async def test_the_weight_scale_service_is_known_as_coarse(bluez: FakeBlueZ) -> None:
    bluez.add_device("AA:BB:CC:00:00:01", "bathroom", [WEIGHT_SCALE])
    bluez.add_line_scale("bench", "AA:BB:CC:00:00:02").uuids.append(WEIGHT_SCALE)
    coarse = {device.name: device.is_coarse for device in await devices_in_sight(0.1)}
    assert coarse == {"bathroom": True, "bench": False}


async def test_two_of_one_name_are_told_apart_by_address(bluez: FakeBlueZ) -> None:
    bluez.add_line_scale("bench", "AA:BB:CC:00:00:01")
    bluez.add_line_scale("bench", "AA:BB:CC:00:00:02")
    addresses = {device.address for device in await devices_in_sight(0.1)}
    assert addresses == {"ble:AA:BB:CC:00:00:01", "ble:AA:BB:CC:00:00:02"}


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


async def test_the_weight_scale_service_and_its_steps_told(bluez: FakeBlueZ) -> None:
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
    (told,) = heard.links
    assert told.up
    assert told.why.startswith("this scale tells its weight in steps of 5 g")


async def test_an_unknown_scale_is_overheard_on_all_that_it_notifies(bluez: FakeBlueZ) -> None:
    base = "0000{}-0000-1000-8000-00805f9b34fb"
    service, weight, command, closed = (base.format(n) for n in ("fff0", "fff1", "fff2", "fff3"))
    device = bluez.add_device("AA:BB:CC:00:00:01", "unknown", [])
    device.add_service(service, {weight: ["notify"], command: ["write"]})
    device.add_service(closed, {base.format("fff4"): ["indicate"], base.format("fff5"): ["read"]})
    heard: list[Overheard] = []
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


# The faults, one by one.


async def test_a_drop_is_told_and_mended(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        device.send_lines(lines(1.0))
        await heard.until(lambda heard: heard.grams == [1.0])
        device.drop()
        await connected(device, 2)
        await heard_again(device, heard, 2.0)
    assert whys(heard) == [
        "the Bluetooth scale bench has disconnected: see that it is near and its battery is "
        "charged; the brew goes on"
    ]
    assert heard.links[-1].up


async def test_a_silent_stall_is_told_and_mended(bluez: FakeBlueZ) -> None:
    """The connection stands, bleak says connected, and nothing comes any more."""
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        device.send_lines(lines(1.0))
        await heard.until(lambda heard: len(heard.links) == 1)
        await connected(device, 2)
        await heard_again(device, heard, 2.0)
    assert whys(heard)[0] == (
        "the Bluetooth scale bench has stopped sending; switch it off and on, and see that no "
        "phone or other program holds it"
    )


async def test_one_that_sends_nothing_is_told(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert "sends nothing" in whys(heard)[0]


async def test_a_device_out_of_sight_is_told_and_waited_for(bluez: FakeBlueZ) -> None:
    async with listening(supervised()) as heard:
        await heard.until(lambda heard: len(heard.links) == 1)
        device = bluez.add_line_scale()
        await connected(device)
        await heard_again(device, heard, 1.0)
    assert whys(heard) == [
        "the Bluetooth scale bench is not in sight; "
        "see that it is switched on, near, and not connected to something else"
    ]


async def test_a_forgotten_device_is_searched_for_again(bluez: FakeBlueZ) -> None:
    """The system forgets it between the search and the connection."""
    device = bluez.add_line_scale()
    bluez.fail("Connect", "org.freedesktop.DBus.Error.UnknownObject", "no such object")
    async with listening(supervised()) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
    assert whys(heard) == ["the Bluetooth scale bench is out of sight; searching for it again"]


async def test_a_device_forgotten_in_use_is_searched_for_again(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
        device.forget()
        await connected(device, 2)
        await heard_again(device, heard, 2.0)
    assert "has disconnected" in whys(heard)[0]


async def told_at_once(target: str = "bench") -> str:
    with pytest.raises(WorkError) as told:
        async with supervised(target):
            pass
    return str(told.value)


async def test_adapter_off(bluez: FakeBlueZ) -> None:
    assert bluez.adapter is not None
    bluez.adapter.powered = False
    assert await told_at_once() == "Bluetooth is switched off; switch it on"


async def test_adapter_switched_off_in_use_and_on_again(bluez: FakeBlueZ) -> None:
    assert bluez.adapter is not None
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
        bluez.adapter.switch(False)
        await heard.until(lambda heard: "Bluetooth is switched off; switch it on" in whys(heard))
        bluez.adapter.switch(True)
        await connected(device, 2)
        await heard_again(device, heard, 2.0)
    assert heard.links[-1].up


async def test_no_adapter(bus: PrivateBus) -> None:
    bluez = FakeBlueZ(bus.address)
    bluez.adapter = None
    await bluez.start()
    assert await told_at_once() == (
        "this computer has no Bluetooth adapter; plug one in, or connect the scale by cable"
    )
    await bluez.stop()


async def test_an_adapter_without_low_energy(bluez: FakeBlueZ) -> None:
    assert bluez.adapter is not None
    bluez.adapter.roles = []
    assert "knows no Bluetooth Low Energy" in await told_at_once()


NO_SERVICE = (
    "the Bluetooth service is not running; "
    "start it with 'sudo systemctl start bluetooth', or install the package bluez"
)


async def test_no_bluetooth_service(bus: PrivateBus) -> None:
    assert bus.address
    assert await told_at_once() == NO_SERVICE


@pytest.mark.parametrize("address", ["unix:path=/nonexistent/bus", "unix:path={refusing}"])
async def test_no_message_bus_at_all(
    monkeypatch: pytest.MonkeyPatch, address: str, tmp_path: Path
) -> None:
    path = tmp_path / "bus"
    with socket.socket(socket.AF_UNIX) as refusing:
        refusing.bind(str(path))  # bound, and not listening
        monkeypatch.setenv("DBUS_SYSTEM_BUS_ADDRESS", address.format(refusing=path))
        assert await told_at_once() == NO_SERVICE


async def test_permission_refused(bluez: FakeBlueZ) -> None:
    bluez.fail("StartDiscovery", "org.freedesktop.DBus.Error.AccessDenied", "rejected send")
    assert await told_at_once() == (
        "no permission to use Bluetooth; "
        "join its group: 'sudo usermod -aG bluetooth $USER', then log in again"
    )


@pytest.mark.parametrize("method", ["StartDiscovery", "Connect"])
async def test_in_progress_is_waited_out(bluez: FakeBlueZ, method: str) -> None:
    device = bluez.add_line_scale()
    bluez.fail(method, "org.bluez.Error.InProgress", "Operation already in progress", times=2)
    async with listening(supervised()) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
    assert whys(heard) == ["Bluetooth is busy with another program's search; waiting for its end"]


async def test_two_scales_search_one_after_the_other(bluez: FakeBlueZ) -> None:
    first = bluez.add_line_scale("first", "AA:BB:CC:00:00:01")
    second = bluez.add_line_scale("second", "AA:BB:CC:00:00:02")
    async with listening(supervised("first")) as one, listening(supervised("second")) as two:
        await connected(first)
        await connected(second)
        await heard_again(first, one, 1.0)
        await heard_again(second, two, 2.0)
    assert (set(one.grams), set(two.grams)) == ({1.0}, {2.0})


async def test_a_stale_service_cache_is_dropped(bluez: FakeBlueZ) -> None:
    """After new firmware the system still lists the old characteristics."""
    device = bluez.add_device("AA:BB:CC:00:00:01", "bench", [LINES_SERVICE])
    device.add_service(LINES_SERVICE, {LINES_WRITE: ["write"]})
    async with listening(supervised()) as heard:
        await heard.until(lambda heard: len(heard.links) == 1)
        assert bluez.adapter is not None
        assert device.path in bluez.adapter.removed
        device.services.clear()
        device.add_service(LINES_SERVICE, {LINES_NOTIFY: ["notify"], LINES_WRITE: ["write"]})
        await connected(device)
        await heard_again(device, heard, 1.0)
    assert whys(heard)[0] == (
        f"the Bluetooth scale bench has no characteristic {LINES_NOTIFY}; check its description; "
        "after new firmware, remove it from this computer's Bluetooth devices"
    )


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


async def test_a_device_left_connected_by_a_crashed_run_is_adopted(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    device.advertise()
    device.connect()
    device.in_sight = False
    async with listening(supervised()) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
    assert device.connections == 1
    assert heard.links == []
    assert bluez.adapter is not None
    assert bluez.adapter.searches == 0


async def test_the_service_vanishes_in_use_and_comes_back(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
        await bluez.stop()
        await heard.until(lambda heard: NO_SERVICE in whys(heard))
        await bluez.start()
        await connected(device, 2)
        await heard_again(device, heard, 2.0)
    assert "has stopped sending" in whys(heard)[0]


async def test_a_connection_that_hangs_is_told(bluez: FakeBlueZ) -> None:
    bluez.add_line_scale()
    bluez.delay("Connect", 5.0)
    async with listening(supervised()) as heard:
        await heard.until(lambda heard: len(heard.links) == 1)
    assert whys(heard) == [
        "the Bluetooth scale bench does not answer; "
        "bring it nearer, and see that no phone or other program holds it"
    ]


@pytest.mark.parametrize(
    ("method", "error", "text", "says"),
    [
        ("Connect", "org.bluez.Error.Failed", "le-connection-abort", "cannot be reached"),
        ("Connect", "org.bluez.Error.NotReady", "", "Bluetooth is switched off"),
        ("StartNotify", "org.bluez.Error.NotPermitted", "Not paired", "no permission"),
        ("StartNotify", "org.bluez.Error.NotConnected", "", "has disconnected"),
        ("StartNotify", "org.bluez.Error.Failed", "ATT error: 0x0e", "cannot be reached"),
        (
            "StartNotify",
            "org.bluez.Error.Failed",
            "Operation failed with ATT error: 0x05",
            "remove the pairing",
        ),
    ],
)
async def test_each_refusal_has_its_sentence_and_is_tried_again(
    bluez: FakeBlueZ, method: str, error: str, text: str, says: str
) -> None:
    bluez.fail(method, error, text)
    device = bluez.add_line_scale()
    scale = supervised(pace=QUICK_LATE)
    async with listening(scale) as heard:
        await connected(device)
        await heard_again(device, heard, 1.0)
    searching, trouble, *_ = whys(heard)
    assert searching == "looking for the Bluetooth scale bench"
    assert says in trouble
    assert "org.bluez" not in trouble


async def test_a_device_with_no_known_service_is_told_at_once(bluez: FakeBlueZ) -> None:
    device = bluez.add_device("AA:BB:CC:00:00:01", "bench", [])
    device.add_service("0000180f-0000-1000-8000-00805f9b34fb", {})
    assert await told_at_once() == (
        "the Bluetooth scale bench has no service that is known here; "
        "describe it with 'pourcoach scales describe' and give ?as=NAME"
    )
    assert not device.connected


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
