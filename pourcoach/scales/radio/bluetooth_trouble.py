"""What goes wrong with Bluetooth, in plain sentences."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from bleak.exc import (
    BleakBluetoothNotAvailableError,
    BleakBluetoothNotAvailableReason,
    BleakCharacteristicNotFoundError,
    BleakDBusError,
    BleakDeviceNotFoundError,
    BleakError,
    BleakGATTProtocolError,
)

from pourcoach.scales.link.connection import NoConnectionError

_UNAVAILABLE = BleakBluetoothNotAvailableReason
_DENIED = {
    _UNAVAILABLE.DENIED_BY_USER,
    _UNAVAILABLE.DENIED_BY_SYSTEM,
    _UNAVAILABLE.DENIED_BY_UNKNOWN,
}

UNPAIR = "if it is paired, remove the pairing in the Bluetooth settings: none is needed"


@contextmanager
def in_plain_words(name: str) -> Iterator[None]:
    """Turn whatever bleak or the system raises within into a NoConnectionError on ``name``."""
    try:
        yield
    except (BleakError, OSError, EOFError) as error:
        raise bluetooth_trouble(error, name) from None


def bluetooth_trouble(error: Exception, name: str) -> NoConnectionError:
    """The error for a person: what is wrong with the scale ``name`` and what to do."""
    if isinstance(error, BleakBluetoothNotAvailableError):
        return _not_available(error.reason)
    if isinstance(error, BleakDBusError):
        return _bluez_trouble(error, name)
    if isinstance(error, TimeoutError):
        return NoConnectionError(
            f"{name} does not answer",
            "bring it nearer, and see that no phone or other program holds it",
        )
    if isinstance(error, BleakCharacteristicNotFoundError):
        return NoConnectionError(
            f"{name} has no characteristic {error.char_specifier}",
            "check its description; after new firmware, remove it from this computer's "
            "Bluetooth devices",
        )
    if isinstance(error, BleakDeviceNotFoundError):
        return forgotten(name)
    if isinstance(error, BleakGATTProtocolError):
        return NoConnectionError(f"{name} refuses: {error.args[1]}", UNPAIR)
    if isinstance(error, BleakError):
        # bleak has no class of its own for a device that the system forgot meanwhile.
        if "not found" in str(error):
            return forgotten(name)
        # Windows says no more than this, most often of a device that it has paired.
        remedy = UNPAIR if "Unreachable" in str(error) else "switch it off and on"
        return NoConnectionError(f"{name} cannot be reached: {error}", remedy)
    # The system's message bus itself: bleak lets through what the socket raised.
    return _no_service()


def forgotten(name: str) -> NoConnectionError:
    """For a device that the system no longer knows: the next search finds it again."""
    return NoConnectionError(f"{name} is out of sight", "searching for it again")


def _not_available(reason: BleakBluetoothNotAvailableReason) -> NoConnectionError:
    if reason is _UNAVAILABLE.POWERED_OFF:
        return NoConnectionError("Bluetooth is switched off", "switch it on", lasting=True)
    if reason is _UNAVAILABLE.NO_BLUETOOTH:
        return NoConnectionError(
            "this computer has no Bluetooth adapter",
            "plug one in, or connect the scale by cable",
            lasting=True,
        )
    if reason is _UNAVAILABLE.NO_BLE_CENTRAL_ROLE:
        return NoConnectionError(
            "this computer's Bluetooth adapter knows no Bluetooth Low Energy",
            "plug in one that does, or connect the scale by cable",
            lasting=True,
        )
    if reason in _DENIED:
        return _denied()
    return NoConnectionError("Bluetooth cannot be used here", "see 'pourcoach scales doctor'")


def _bluez_trouble(error: BleakDBusError, name: str) -> NoConnectionError:
    kind = error.dbus_error.rpartition(".")[2]
    if kind in ("ServiceUnknown", "NameHasNoOwner"):
        return _no_service()
    if kind in ("AccessDenied", "NotAuthorized", "NotPermitted", "AuthFailed"):
        return _denied()
    if kind == "InProgress":
        return NoConnectionError(
            "Bluetooth is busy with another program's search", "waiting for its end"
        )
    if kind == "NotReady":
        return _not_available(_UNAVAILABLE.POWERED_OFF)
    if kind in ("UnknownObject", "DoesNotExist", "UnknownMethod"):
        return forgotten(name)
    if kind == "NotConnected":
        return NoConnectionError(f"{name} has disconnected", "connecting again")
    details = error.dbus_error_details or kind
    return NoConnectionError(f"{name} cannot be reached ({details})", "switch it off and on")


def _no_service() -> NoConnectionError:
    remedy = "see 'pourcoach scales doctor'"
    if sys.platform.startswith("linux"):
        remedy = "start it with 'sudo systemctl start bluetooth', or install the package bluez"
    return NoConnectionError("the Bluetooth service is not running", remedy, lasting=True)


def _denied() -> NoConnectionError:
    remedies = {
        "linux": "join its group: 'sudo usermod -aG bluetooth $USER', then log in again",
        "darwin": "allow this terminal under System Settings, Privacy & Security, Bluetooth",
        "win32": "allow it under Settings, Privacy & security, Radios",
    }
    remedy = remedies.get(sys.platform, "allow this terminal to use it")
    return NoConnectionError("no permission to use Bluetooth", remedy, lasting=True)
