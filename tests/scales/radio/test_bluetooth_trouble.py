"""Whatever bleak raises, on any system, becomes one plain sentence with something to do."""

import sys

import pytest
from bleak.exc import (
    BleakBluetoothNotAvailableError,
    BleakBluetoothNotAvailableReason,
    BleakCharacteristicNotFoundError,
    BleakDBusError,
    BleakDeviceNotFoundError,
    BleakError,
    BleakGATTProtocolError,
)

from pourcoach.scales.radio.bluetooth_trouble import bluetooth_trouble

BLUEZ = "org.bluez.Error."
DBUS = "org.freedesktop.DBus.Error."


def not_available(reason: str) -> BleakBluetoothNotAvailableError:
    return BleakBluetoothNotAvailableError("", BleakBluetoothNotAvailableReason[reason])


@pytest.mark.parametrize(
    ("error", "says", "lasting"),
    [
        (not_available("NO_BLUETOOTH"), "has no Bluetooth adapter", True),
        (not_available("NO_BLE_CENTRAL_ROLE"), "no Bluetooth Low Energy", True),
        (not_available("POWERED_OFF"), "is switched off", True),
        (not_available("DENIED_BY_USER"), "no permission", True),
        (not_available("DENIED_BY_SYSTEM"), "no permission", True),
        (not_available("DENIED_BY_UNKNOWN"), "no permission", True),
        (not_available("UNKNOWN"), "'pourcoach scales doctor'", False),
        (BleakDBusError(f"{DBUS}ServiceUnknown", []), "service is not running", True),
        (BleakDBusError(f"{DBUS}AccessDenied", []), "no permission", True),
        (BleakDBusError(f"{DBUS}UnknownObject", []), "out of sight", False),
        (BleakDBusError(f"{BLUEZ}InProgress", []), "busy with another program", False),
        (BleakDBusError(f"{BLUEZ}NotReady", []), "is switched off", True),
        (BleakDBusError(f"{BLUEZ}NotConnected", []), "has disconnected", False),
        (BleakDBusError(f"{BLUEZ}Failed", ["br-connection-canceled"]), "br-connection", False),
        (BleakDeviceNotFoundError("AA:BB"), "out of sight", False),
        (BleakError("device 'dev_AA' not found"), "out of sight", False),
        (BleakError("Could not get GATT services: Unreachable"), "remove the pairing", False),
        (BleakError("disconnected"), "switch it off and on", False),
        (BleakCharacteristicNotFoundError("fff1"), "has no characteristic fff1", False),
        (BleakGATTProtocolError(0x05), "remove the pairing", False),
        (TimeoutError(), "does not answer", False),
        (FileNotFoundError(2, "No such file"), "service is not running", True),
        (ConnectionRefusedError(111, "refused"), "service is not running", True),
        (EOFError(), "service is not running", True),
    ],
)
def test_each_error_has_its_sentence(error: Exception, says: str, lasting: bool) -> None:
    trouble = bluetooth_trouble(error, "the Bluetooth scale bench")
    assert says in str(trouble)
    assert trouble.remedy
    assert trouble.lasting is lasting
    assert "org." not in str(trouble)


@pytest.mark.parametrize(
    ("platform", "says"),
    [
        ("linux", "usermod -aG bluetooth"),
        ("darwin", "System Settings"),
        ("win32", "Privacy & security"),
    ],
)
def test_permission_is_given_elsewhere_on_each_system(
    monkeypatch: pytest.MonkeyPatch, platform: str, says: str
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    assert says in bluetooth_trouble(not_available("DENIED_BY_USER"), "bench").remedy
