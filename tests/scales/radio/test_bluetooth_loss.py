"""Every way in which a radio can fail in use is reported and mended."""

from tests.scales.fake_bluez import FakeBlueZ
from tests.scales.fake_device import LINES_NOTIFY, LINES_SERVICE, LINES_WRITE
from tests.scales.listener import listening
from tests.scales.over_radio import NO_SERVICE, connected, heard_again, lines, supervised, whys


async def test_a_drop_is_reported_and_mended(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        device.send_lines(lines(1.0))
        await heard.until(lambda heard: heard.grams == [1.0])
        device.drop()
        await connected(device, 2)
        await heard_again(device, heard, 2.0)
    assert whys(heard) == [
        "the Bluetooth scale bench has disconnected: see that it is near and its battery is charged"
    ]
    assert heard.links[-1].up


async def test_a_silent_stall_is_reported_and_mended(bluez: FakeBlueZ) -> None:
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


async def test_one_that_sends_nothing_is_reported(bluez: FakeBlueZ) -> None:
    device = bluez.add_line_scale()
    async with listening(supervised()) as heard:
        await connected(device)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert "sends nothing" in whys(heard)[0]


async def test_a_device_out_of_sight_is_reported_and_waited_for(bluez: FakeBlueZ) -> None:
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
