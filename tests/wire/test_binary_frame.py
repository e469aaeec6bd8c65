"""Numbers, tests and checksums in frames of bytes."""

import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.wire.binary_frame import BinaryFrame, checksum_fits, field_value, read_frame
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.description import (
    BinaryLayout,
    ByteTest,
    ChecksumKind,
    FrameChecksum,
    NumberField,
    NumberKind,
)


@pytest.mark.parametrize(
    ("data", "kind", "order", "length", "value"),
    [
        ("ff", NumberKind.UINT8, "little", 0, 255),
        ("ff", NumberKind.INT8, "little", 0, -1),
        ("d204", NumberKind.UINT16, "little", 0, 1234),
        ("04d2", NumberKind.UINT16, "big", 0, 1234),
        ("fb2e", NumberKind.INT16, "big", 0, -1234),
        ("ffff7f", NumberKind.INT24, "little", 0, 8388607),
        ("800000", NumberKind.INT24, "big", 0, -8388608),
        ("ffffff", NumberKind.UINT24, "big", 0, 16777215),
        ("000000ff", NumberKind.INT32, "little", 0, -16777216),
        ("000000ff", NumberKind.UINT32, "little", 0, 4278190080),
        (struct.pack("<f", 12.5).hex(), NumberKind.FLOAT32, "little", 0, 12.5),
        (struct.pack(">f", -12.5).hex(), NumberKind.FLOAT32, "big", 0, -12.5),
        (struct.pack(">f", float("nan")).hex(), NumberKind.FLOAT32, "big", 0, None),
        (struct.pack(">f", float("inf")).hex(), NumberKind.FLOAT32, "big", 0, None),
        ("001234", NumberKind.BCD, "big", 3, 1234),
        ("341200", NumberKind.BCD, "little", 3, 1234),
        ("00a234", NumberKind.BCD, "big", 3, None),
        (b" - 12.3".hex(), NumberKind.ASCII, "little", 7, -12.3),
        (b"0012,3".hex(), NumberKind.ASCII, "little", 6, 12.3),
        (b"+-12.3".hex(), NumberKind.ASCII, "little", 6, None),
        (b"1.2.3 ".hex(), NumberKind.ASCII, "little", 6, None),
        (b"      ".hex(), NumberKind.ASCII, "little", 6, None),
        (b"nan   ".hex(), NumberKind.ASCII, "little", 6, None),
        (b"\xb2\xb3    ".hex(), NumberKind.ASCII, "little", 6, None),
    ],
)
def test_numbers(data: str, kind: NumberKind, order: str, length: int, value: float | None) -> None:
    place = NumberField(2, kind, order, length)
    assert field_value(b"\xaa\x55" + bytes.fromhex(data) + b"\x00", place) == value


@given(st.binary(min_size=4, max_size=4), st.sampled_from(NumberKind), st.sampled_from(["big", ""]))
def test_no_bytes_raise(data: bytes, kind: NumberKind, order: str) -> None:
    value = field_value(data, NumberField(0, kind, order, 4))
    assert value is None or value == value


@pytest.mark.parametrize(
    ("kind", "frame"),
    [
        (ChecksumKind.SUM8, "aa 55 ff fe"),
        (ChecksumKind.XOR8, "aa 55 01 fe"),
        # "123456789" gives 0x29B1: catalogue of parametrised CRC algorithms, from memory.
        (ChecksumKind.CRC16, "31 32 33 34 35 36 37 38 39 29 b1"),
    ],
)
def test_checksums(kind: ChecksumKind, frame: str) -> None:
    data = bytes.fromhex(frame)
    checksum = FrameChecksum(kind, len(data) - (2 if kind is ChecksumKind.CRC16 else 1))
    assert checksum_fits(data, checksum)
    assert not checksum_fits(b"\x00" + data[1:], checksum)


def test_a_frame_with_everything() -> None:
    layout = BinaryLayout(
        length=10,
        weight=NumberField(3, NumberKind.UINT16, "big"),
        start=b"\xaa\x55",
        negative=ByteTest(2, 0x80),
        stable=ByteTest(2, 0x0F, 0x01),
        sequence=NumberField(5, NumberKind.UINT8),
        device_ms=NumberField(6, NumberKind.UINT16, "little"),
        checksum=FrameChecksum(ChecksumKind.XOR8, 9, begin=2),
    )
    body = bytes.fromhex("81 04d2 07 b004 63")
    parity = 0
    for byte in body:
        parity ^= byte
    frame = b"\xaa\x55" + body + bytes([parity])
    assert read_frame(frame, layout) == BinaryFrame(-1234.0, True, 7, 1200)
    assert read_frame(frame[:-1] + bytes([parity ^ 1]), layout) is DropReason.CHECKSUM
