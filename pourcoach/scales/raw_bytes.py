"""The raw bytes of a scale that is not known yet, for learning how it speaks."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import TypeAlias

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Seconds
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.dialect import line_dialect
from pourcoach.scales.link.connection import OnLost
from pourcoach.scales.open import serial_line
from pourcoach.scales.scale import Now
from pourcoach.wire.description import Gatt


@dataclass(frozen=True, slots=True)
class RawChunk:
    """Bytes as they came."""

    t_s: Seconds
    data: bytes
    gatt: Gatt | None
    """Which characteristic notified them, one notification a chunk; None over serial."""


OnRawChunk: TypeAlias = Callable[[RawChunk], None]


@asynccontextmanager
async def overhear(
    address: ScaleAddress, now: Now, on_heard: OnRawChunk, on_lost: OnLost
) -> AsyncIterator[None]:
    """Listen to the scale at an address while the context lasts; there is no second attempt.

    Over Bluetooth, to everything that it notifies. Raises NoConnectionError where it cannot be
    reached, UsageError for an address that has no bytes to hear.
    """
    if address.kind == "serial":
        from pourcoach.scales.cable.serial_port import SerialConnector

        address.only("baud", "bits", "parity", "stop")
        port = SerialConnector(address.target, serial_line(address), line_dialect(), now)
        async with port.open(lambda data, t_s: on_heard(RawChunk(t_s, data, None)), on_lost):
            yield
    elif address.kind == "ble":
        from pourcoach.scales.radio.bluetooth import BluetoothConnector

        address.only()
        radio = BluetoothConnector(address.target, None, line_dialect(), now)
        async with radio.overhear(
            lambda gatt, data, t_s: on_heard(RawChunk(t_s, data, gatt)), on_lost
        ):
            yield
    else:
        raise UsageError(f"{address} has no bytes to listen to", "use serial:PORT or ble:NAME")
