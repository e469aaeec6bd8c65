"""Finding Bluetooth devices: one search at a time, and those that are connected already."""

import asyncio
import re
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from weakref import WeakKeyDictionary

from bleak import BleakAdapter, BleakScanner
from bleak.backends.device import BLEDevice
from bleak.backends.scanner import AdvertisementData
from bleak.exc import BleakError
from bleak.uuids import normalize_uuid_str

from pourcoach.domain.units import Seconds
from pourcoach.scales.link.connection import close_fully
from pourcoach.scales.radio.bluetooth_trouble import in_plain_words
from pourcoach.wire.weight_scale_service import SERVICE as WEIGHT_SCALE_SERVICE

# The pair of characteristics that microcontroller libraries commonly use for a serial line.
LINES_SERVICE = "6e400001-b5a3-f393-e0a9-e50e24dcca9e"
LINES_NOTIFY = "6e400003-b5a3-f393-e0a9-e50e24dcca9e"
LINES_WRITE = "6e400002-b5a3-f393-e0a9-e50e24dcca9e"

# Generic Access and Generic Attribute: every device has at least one of them.
GENERIC_SERVICES = (normalize_uuid_str("1800"), normalize_uuid_str("1801"))
STOP_WITHIN_S: Seconds = 2.0

_UUID = re.compile(r"[0-9a-fA-F]{4}|[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")

# The system takes one search from a program at a time (BlueZ: org.bluez.Error.InProgress).
_searching: WeakKeyDictionary[asyncio.AbstractEventLoop, asyncio.Lock] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class BluetoothDevice:
    """A device in sight."""

    id: str
    """Its address; on macOS an identifier that this computer made up."""
    name: str | None
    """None where it gives none, or none that can be printed."""
    rssi_dbm: int | None
    """Signal strength; None for one that is connected already and so does not advertise."""
    services: tuple[str, ...]
    address: str
    """The scale address of this device: by its name, where no other in sight has the same."""

    @property
    def speaks(self) -> bool:
        """Whether it advertises a service that is read without a description."""
        return LINES_SERVICE in self.services or WEIGHT_SCALE_SERVICE in self.services

    @property
    def is_coarse(self) -> bool:
        """Whether all that can be read of it is the Weight Scale service, with its 5 g steps."""
        return WEIGHT_SCALE_SERVICE in self.services and LINES_SERVICE not in self.services


async def devices_in_sight(search_s: Seconds) -> list[BluetoothDevice]:
    """All devices seen within so many seconds, strongest first.

    Raises NoConnectionError where Bluetooth cannot be used.
    """
    seen: dict[str, tuple[str | None, int | None, tuple[str, ...]]] = {}

    def take(device: BLEDevice, advertised: AdvertisementData) -> bool:
        services = tuple(service.lower() for service in advertised.service_uuids)
        seen[device.address] = (
            _clean(advertised.local_name or device.name),
            advertised.rssi,
            services,
        )
        return False

    with in_plain_words("Bluetooth"):
        connected = await _connected(GENERIC_SERVICES)
        await _search(take, search_s)
    for device in connected:
        seen.setdefault(device.address, (_clean(device.name), None, ()))
    times_seen = Counter(name for name, _, _ in seen.values())

    def distinguished_by(name: str | None) -> bool:
        # A question mark in a name would begin the options of an address.
        return name is not None and times_seen[name] == 1 and "?" not in name

    devices = [
        BluetoothDevice(
            identifier,
            name,
            rssi,
            services,
            f"ble:{name if distinguished_by(name) else identifier}",
        )
        for identifier, (name, rssi, services) in seen.items()
    ]
    return sorted(devices, key=lambda device: -(device.rssi_dbm or -1000))


def _clean(name: str | None) -> str | None:
    """A name comes from anyone within reach: one that could steer a terminal is no name."""
    return name if name and name.isprintable() else None


async def connected_device(target: str, service: str | None) -> BLEDevice | None:
    """The device with this name or address among those that are connected, as by an earlier run.

    Such a device does not advertise any more: no search finds it. ``service`` is one it is known
    to have, if any.
    """
    services = {*GENERIC_SERVICES, LINES_SERVICE, WEIGHT_SCALE_SERVICE}
    services |= {service} if service else set()
    for device in await _connected(tuple(services)):
        if target.lower() in (device.address.lower(), (device.name or "").lower()):
            return device
    return None


async def search_device(target: str, search_s: Seconds) -> BLEDevice | None:
    """The device with this name, address or service; None where it is not in sight."""
    return await _search(lambda device, advertised: _matches(target, device, advertised), search_s)


def _matches(target: str, device: BLEDevice, advertised: AdvertisementData) -> bool:
    wanted = target.lower()
    if wanted in (device.address.lower(), (advertised.local_name or device.name or "").lower()):
        return True
    return bool(_UUID.fullmatch(target)) and normalize_uuid_str(target) in (
        service.lower() for service in advertised.service_uuids
    )


async def _connected(services: tuple[str, ...]) -> list[BLEDevice]:
    # Not every system knows; then there is nothing to adopt.
    with suppress(NotImplementedError):
        return await (await BleakAdapter.get()).get_connected_devices(list(services))
    return []


async def _search(
    wanted: Callable[[BLEDevice, AdvertisementData], bool], search_s: Seconds
) -> BLEDevice | None:
    loop = asyncio.get_running_loop()
    found: asyncio.Future[BLEDevice] = loop.create_future()

    def seen(device: BLEDevice, advertised: AdvertisementData) -> None:
        if not found.done() and wanted(device, advertised):
            found.set_result(device)

    async with _searching.setdefault(loop, asyncio.Lock()):
        scanner = BleakScanner(seen)
        # Never cancelled: a start that is cut short leaves the radio searching.
        starting = asyncio.ensure_future(scanner.start())
        try:
            await asyncio.shield(starting)
            with suppress(TimeoutError):
                async with asyncio.timeout(search_s):
                    return await found
            return None
        finally:
            await close_fully(_stop(scanner, starting), STOP_WITHIN_S)


async def _stop(scanner: BleakScanner, starting: asyncio.Future[None]) -> None:
    with suppress(BleakError, OSError, EOFError):
        await starting
        await scanner.stop()
