"""A Bluetooth Low Energy scale through bleak: found again, and connected to, on each attempt."""

import asyncio
import sys
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from typing import TypeAlias

from bleak import BleakClient
from bleak.backends.characteristic import BleakGATTCharacteristic
from bleak.backends.device import BLEDevice
from bleak.exc import BleakCharacteristicNotFoundError, BleakError

from pourcoach.domain.units import Seconds
from pourcoach.scales.dialect import WEIGHT_SCALE_DIALECT, Dialect
from pourcoach.scales.link.connection import NoConnectionError, OnBytes, OnLost, close_fully
from pourcoach.scales.radio.bluetooth_search import (
    LINES_NOTIFY,
    LINES_SERVICE,
    LINES_WRITE,
    connected_device,
    search_device,
)
from pourcoach.scales.radio.bluetooth_trouble import in_plain_words
from pourcoach.scales.scale import Now
from pourcoach.wire.description import Gatt
from pourcoach.wire.weight_scale_service import SERVICE as WEIGHT_SCALE_SERVICE
from pourcoach.wire.weight_scale_service import WEIGHT_MEASUREMENT

OnNotified: TypeAlias = Callable[[Gatt, bytes, Seconds], None]
"""Called in the event loop with where it came from, what, and when."""

_LINES = Gatt(LINES_SERVICE, LINES_NOTIFY, LINES_WRITE)
_WEIGHT_SCALE = Gatt(WEIGHT_SCALE_SERVICE, WEIGHT_MEASUREMENT)


@dataclass(frozen=True, slots=True)
class RadioPatience:
    """How long each step may take. Common practice; no published source."""

    search_s: Seconds = 10.0
    """A device that saves its battery advertises every second or two."""
    connect_s: Seconds = 10.0
    write_s: Seconds = 2.0
    close_s: Seconds = 3.0


class BluetoothConnector:
    """Opens connections to one scale, with a new search and a new client each time."""

    def __init__(
        self,
        target: str,
        gatt: Gatt | None,
        dialect: Dialect,
        now: Now,
        patience: RadioPatience | None = None,
    ) -> None:
        """``target`` is the scale's name, its address, or a service that it advertises.

        With no ``gatt``, the services that it has determine which characteristics to use, and
        ``dialect`` holds where they carry lines.
        """
        self._target = target
        self._described = gatt
        self._given_dialect = dialect
        self._now = now
        self._patience = patience or RadioPatience()
        self._may_adopt = True
        self.dialect = dialect

    @property
    def name(self) -> str:
        return f"the Bluetooth scale {self._target}"

    @property
    def silence_remedy(self) -> str:
        return "switch it off and on, and see that no phone or other program holds it"

    @asynccontextmanager
    async def open(self, on_bytes: OnBytes, on_lost: OnLost) -> AsyncIterator["_GattConnection"]:
        before = b""

        def notified(_: BleakGATTCharacteristic, data: bytearray) -> None:
            nonlocal before
            # After a reconnection some systems hand everything over twice. A whole line is known
            # by its sequence number; a piece of one is never followed by the same piece.
            doubled = data == before and not data.endswith(b"\n")
            before = bytes(data)
            if not (doubled and self.dialect.by_lines):
                on_bytes(before, self._now())

        async with self._connected(on_lost) as client:
            with in_plain_words(self.name):
                gatt = self._gatt(client)
                try:
                    await client.start_notify(gatt.notify, notified)
                except BleakCharacteristicNotFoundError:
                    await _forget(client)
                    raise
            yield _GattConnection(client, gatt, self.name, self._patience.write_s)

    @asynccontextmanager
    async def overhear(self, on_notified: OnNotified, on_lost: OnLost) -> AsyncIterator[list[Gatt]]:
        """Connect and listen to all that the scale notifies, to learn how it speaks.

        Gives the characteristics listened to. Raises NoConnectionError.
        """
        async with self._connected(on_lost) as client:
            with in_plain_words(self.name):
                listened = [
                    gatt
                    for gatt in _notifying(client)
                    if await self._listen(client, gatt, on_notified)
                ]
            yield listened

    async def _listen(self, client: BleakClient, gatt: Gatt, on_notified: OnNotified) -> bool:
        """False where the scale does not let us: some characteristics want a pairing."""

        def notified(_: BleakGATTCharacteristic, data: bytearray) -> None:
            on_notified(gatt, bytes(data), self._now())

        try:
            await client.start_notify(gatt.notify, notified)
        except BleakError:
            if not client.is_connected:
                raise
            return False
        return True

    @asynccontextmanager
    async def _connected(self, on_lost: OnLost) -> AsyncIterator[BleakClient]:
        with in_plain_words(self.name):
            device = await self._find()
        if device is None:
            raise NoConnectionError(
                f"{self.name} is not in sight",
                "see that it is switched on, near, and not connected to something else",
            )
        client = BleakClient(
            device,
            disconnected_callback=lambda _: on_lost(
                f"{self.name} has disconnected: see that it is near and its battery is charged"
            ),
            timeout=self._patience.connect_s,
            # Windows keeps a list of services that a new firmware makes wrong.
            winrt={"use_cached_services": False},
        )
        with in_plain_words(self.name):
            await client.connect()  # failed or cancelled, it cleans up after itself
        try:
            yield client
        finally:
            await close_fully(_disconnect(client), self._patience.close_s)

    async def _find(self) -> BLEDevice | None:
        device = None
        if self._may_adopt:
            described = None if self._described is None else self._described.service
            device = await connected_device(self._target, described)
        # Where the Bluetooth service started anew, what it says of connections may be stale.
        self._may_adopt = device is None
        return device or await search_device(self._target, self._patience.search_s)

    def _gatt(self, client: BleakClient) -> Gatt:
        """Which characteristics to use; settles the dialect where none was described."""
        if self._described is not None:
            return self._described
        services = {service.uuid for service in client.services}
        if LINES_SERVICE in services:
            self.dialect = self._given_dialect
            return _LINES
        if WEIGHT_SCALE_SERVICE in services:
            self.dialect = WEIGHT_SCALE_DIALECT
            return _WEIGHT_SCALE
        raise NoConnectionError(
            f"{self.name} has no service that is known here",
            "describe it with 'pourcoach scales describe' and give ?as=NAME",
            lasting=True,
        )


def _notifying(client: BleakClient) -> Iterator[Gatt]:
    """All characteristics that notify changes, each with one of its service to be written."""
    for service in client.services:
        writable = [
            one.uuid
            for one in service.characteristics
            if {"write", "write-without-response"} & set(one.properties)
        ]
        for one in service.characteristics:
            if {"notify", "indicate"} & set(one.properties):
                yield Gatt(service.uuid, one.uuid, writable[0] if writable else None)


class _GattConnection:
    """A connected client, for commands."""

    def __init__(self, client: BleakClient, gatt: Gatt, name: str, within_s: Seconds) -> None:
        self._client = client
        self._gatt = gatt
        self._name = name
        self._within_s = within_s

    async def write(self, data: bytes) -> None:
        """Send a command. Raises NoConnectionError where it does not go out."""
        if self._gatt.write is None:
            raise NoConnectionError(f"{self._name} takes no commands")
        with in_plain_words(self._name):
            characteristic = self._client.services.get_characteristic(self._gatt.write)
            if characteristic is None:
                raise BleakCharacteristicNotFoundError(self._gatt.write)
            acknowledged = "write" in characteristic.properties
            # The system splits what is acknowledged; the rest it cuts off or refuses beyond this.
            most = len(data) if acknowledged else characteristic.max_write_without_response_size
            async with asyncio.timeout(self._within_s):
                for begin in range(0, len(data), most):
                    part = data[begin : begin + most]
                    await self._client.write_gatt_char(characteristic, part, response=acknowledged)


async def _disconnect(client: BleakClient) -> None:
    # The connection may be gone already, or the whole Bluetooth service with it.
    with suppress(BleakError, OSError, EOFError, AssertionError):
        await client.disconnect()


async def _forget(client: BleakClient) -> None:
    """Have the system drop what it remembers of the device's services: they have changed."""
    if sys.platform.startswith("linux"):
        with suppress(BleakError, OSError, EOFError):
            await client.unpair()
