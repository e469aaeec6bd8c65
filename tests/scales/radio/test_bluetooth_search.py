"""Which devices are in sight, and which of them is the one that an address means."""

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.scales.open import open_scale
from pourcoach.scales.radio.bluetooth_search import BluetoothDevice, devices_in_sight
from tests.scales.fake_bluez import FakeBlueZ
from tests.scales.fake_device import GENERIC_ATTRIBUTE, LINES_SERVICE, WEIGHT_SCALE
from tests.scales.listener import listening, now
from tests.scales.over_radio import connected, heard_again, lines, supervised


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


async def test_two_of_one_name_are_distinguished_by_address(bluez: FakeBlueZ) -> None:
    bluez.add_line_scale("bench", "AA:BB:CC:00:00:01")
    bluez.add_line_scale("bench", "AA:BB:CC:00:00:02")
    addresses = {device.address for device in await devices_in_sight(0.1)}
    assert addresses == {"ble:AA:BB:CC:00:00:01", "ble:AA:BB:CC:00:00:02"}


async def test_two_scales_search_one_after_the_other(bluez: FakeBlueZ) -> None:
    first = bluez.add_line_scale("first", "AA:BB:CC:00:00:01")
    second = bluez.add_line_scale("second", "AA:BB:CC:00:00:02")
    async with listening(supervised("first")) as one, listening(supervised("second")) as two:
        await connected(first)
        await connected(second)
        await heard_again(first, one, 1.0)
        await heard_again(second, two, 2.0)
    assert (set(one.grams), set(two.grams)) == ({1.0}, {2.0})


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
