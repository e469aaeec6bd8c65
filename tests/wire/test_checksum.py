"""The checksum gives the published check value."""

from pourcoach.wire.checksum import crc16_ccitt_false


def test_check_value() -> None:
    # Catalogue of parametrised CRC algorithms, entry CRC-16/IBM-3740 (from memory).
    assert crc16_ccitt_false(b"123456789") == 0x29B1


def test_start_value_is_all_ones() -> None:
    assert crc16_ccitt_false(b"") == 0xFFFF
