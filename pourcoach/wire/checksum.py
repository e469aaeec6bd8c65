"""Checksums of the wire formats."""

import binascii


def crc16_ccitt_false(data: bytes) -> int:
    """CRC-16/CCITT-FALSE: polynomial 0x1021, start 0xFFFF, unreflected, no final exclusive-or.

    Check value for ``b"123456789"``: 0x29B1 (catalogue of parametrised CRC algorithms, where it
    is CRC-16/IBM-3740; from memory).
    """
    return binascii.crc_hqx(data, 0xFFFF)
