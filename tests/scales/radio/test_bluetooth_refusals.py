"""Every way in which a radio can refuse has its sentence."""

import socket
from dataclasses import replace
from pathlib import Path

import pytest

from tests.scales.fake_bluez import FakeBlueZ, PrivateBus
from tests.scales.listener import QUICK, listening
from tests.scales.over_radio import (
    NO_SERVICE,
    connected,
    error_at_once,
    heard_again,
    supervised,
    whys,
)

# Reported as a Link, not raised, whatever it is: the first attempt is not waited for.
QUICK_LATE = replace(QUICK, entry_s=0.0)


async def test_adapter_off(bluez: FakeBlueZ) -> None:
    assert bluez.adapter is not None
    bluez.adapter.powered = False
    assert await error_at_once() == "Bluetooth is switched off; switch it on"


async def test_no_adapter(bus: PrivateBus) -> None:
    bluez = FakeBlueZ(bus.address)
    bluez.adapter = None
    await bluez.start()
    assert await error_at_once() == (
        "this computer has no Bluetooth adapter; plug one in, or connect the scale by cable"
    )
    await bluez.stop()


async def test_an_adapter_without_low_energy(bluez: FakeBlueZ) -> None:
    assert bluez.adapter is not None
    bluez.adapter.roles = []
    assert "knows no Bluetooth Low Energy" in await error_at_once()


async def test_no_bluetooth_service(bus: PrivateBus) -> None:
    assert bus.address
    assert await error_at_once() == NO_SERVICE


@pytest.mark.parametrize("address", ["unix:path=/nonexistent/bus", "unix:path={refusing}"])
async def test_no_message_bus_at_all(
    monkeypatch: pytest.MonkeyPatch, address: str, tmp_path: Path
) -> None:
    path = tmp_path / "bus"
    with socket.socket(socket.AF_UNIX) as refusing:
        refusing.bind(str(path))  # bound, and not listening
        monkeypatch.setenv("DBUS_SYSTEM_BUS_ADDRESS", address.format(refusing=path))
        assert await error_at_once() == NO_SERVICE


async def test_permission_refused(bluez: FakeBlueZ) -> None:
    bluez.fail("StartDiscovery", "org.freedesktop.DBus.Error.AccessDenied", "rejected send")
    assert await error_at_once() == (
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


async def test_a_connection_that_hangs_is_reported(bluez: FakeBlueZ) -> None:
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


async def test_a_device_with_no_known_service_is_error_at_once(bluez: FakeBlueZ) -> None:
    device = bluez.add_device("AA:BB:CC:00:00:01", "bench", [])
    device.add_service("0000180f-0000-1000-8000-00805f9b34fb", {})
    assert await error_at_once() == (
        "the Bluetooth scale bench has no service that is known here; "
        "describe it with 'pourcoach scales describe' and give ?as=NAME"
    )
    assert not device.connected
