"""Each checksum gives the published check value."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.wire.checksum import (
    ARC,
    CCITT_FALSE,
    KERMIT,
    MODBUS,
    X25,
    XMODEM,
    Crc16,
    crc16_ccitt_false,
)


@pytest.mark.parametrize(
    ("crc", "check"),
    [
        (CCITT_FALSE, 0x29B1),
        (XMODEM, 0x31C3),
        (KERMIT, 0x2189),
        (X25, 0x906E),
        (MODBUS, 0x4B37),
        (ARC, 0xBB3D),
    ],
)
def test_check_values(crc: Crc16, check: int) -> None:
    # Catalogue of parametrised CRC algorithms (from memory).
    assert crc.of(b"123456789") == check


@given(st.binary(max_size=64))
def test_the_standard_librarys_is_the_same(data: bytes) -> None:
    assert crc16_ccitt_false(data) == CCITT_FALSE.of(data)
