"""Frames of bytes into numbers, by a described layout."""

import struct
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from pourcoach.wire.checksum import ARC, KERMIT, MODBUS, X25, XMODEM, crc16_ccitt_false
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.description import (
    BinaryLayout,
    ByteTest,
    ChecksumKind,
    FrameChecksum,
    NumberField,
    NumberKind,
)

_CRCS: dict[ChecksumKind, Callable[[bytes], int]] = {
    ChecksumKind.CRC16: crc16_ccitt_false,
    ChecksumKind.CRC16_XMODEM: XMODEM.of,
    ChecksumKind.CRC16_KERMIT: KERMIT.of,
    ChecksumKind.CRC16_X25: X25.of,
    ChecksumKind.CRC16_MODBUS: MODBUS.of,
    ChecksumKind.CRC16_ARC: ARC.of,
}
_ORDERS: dict[str, Literal["big", "little"]] = {"big": "big", "little": "little"}
_SIGNED = {NumberKind.INT8, NumberKind.INT16, NumberKind.INT24, NumberKind.INT32}


@dataclass(frozen=True, slots=True)
class BinaryFrame:
    """What one frame says; None where the layout has no such place."""

    value: float
    stable: bool | None
    sequence: int | None
    device_ms: int | None


def read_frame(frame: bytes, layout: BinaryLayout) -> BinaryFrame | DropReason:
    """Read one frame of at least ``layout.length`` bytes."""
    if layout.checksum is not None and not checksum_fits(frame, layout.checksum):
        return DropReason.CHECKSUM
    value = field_value(frame, layout.weight)
    if value is None:
        return DropReason.OTHER
    if layout.negative is not None and test_byte(frame, layout.negative):
        value = -value
    sequence = None if layout.sequence is None else field_value(frame, layout.sequence)
    device_ms = None if layout.device_ms is None else field_value(frame, layout.device_ms)
    return BinaryFrame(
        value,
        None if layout.stable is None else test_byte(frame, layout.stable),
        None if sequence is None else int(sequence),
        None if device_ms is None else int(device_ms),
    )


def field_value(frame: bytes, place: NumberField) -> float | None:
    """None where the bytes are no number of that kind."""
    data = frame[place.offset : place.offset + place.size]
    if place.kind is NumberKind.ASCII:
        return _ascii_number(data)
    if place.kind is NumberKind.BCD:
        digits = (data if place.order == "big" else data[::-1]).hex()
        return float(digits) if digits.isdecimal() else None
    if place.kind is NumberKind.FLOAT32:
        value: float = struct.unpack(">f" if place.order == "big" else "<f", data)[0]
        return value if abs(value) < float("inf") else None
    ordered = data if place.order == "big" else data[::-1]
    return float(int.from_bytes(ordered, "big", signed=place.kind in _SIGNED))


def _ascii_number(data: bytes) -> float | None:
    text = data.decode("latin-1").replace(" ", "").replace(",", ".")
    digits = text.lstrip("+-").replace(".", "", 1)
    if not (digits.isascii() and digits.isdecimal()) or len(text) - len(text.lstrip("+-")) > 1:
        return None
    return float(text)


def test_byte(frame: bytes, test: ByteTest) -> bool:
    """Whether the byte's masked bits are as the test asks."""
    bits = frame[test.offset] & test.mask
    return bits != 0 if test.equals is None else bits == test.equals


def checksum_fits(frame: bytes, checksum: FrameChecksum) -> bool:
    """Whether the frame's own checksum is that of its bytes."""
    covered = frame[checksum.begin : checksum.offset]
    stated = frame[checksum.offset : checksum.offset + checksum.size]
    crc = _CRCS.get(checksum.kind)
    if crc is not None:
        return int.from_bytes(stated, _ORDERS[checksum.order]) == crc(covered)
    if checksum.kind is ChecksumKind.SUM8:
        return stated[0] == sum(covered) % 256
    parity = 0
    for byte in covered:
        parity ^= byte
    return stated[0] == parity
