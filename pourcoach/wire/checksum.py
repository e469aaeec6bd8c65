"""Checksums of the wire formats.

The 16-bit CRCs are named and defined as in the catalogue of parametrised CRC algorithms (from
memory); each gives the catalogue's check value for ``b"123456789"``, which the tests hold.
"""

import binascii
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Crc16:
    """A CRC of 16 bits."""

    polynomial: int
    start: int
    reflected: bool
    """Whether bits go in and come out lowest first."""
    final: int = 0
    """Exclusive-or of the result."""

    def of(self, data: bytes) -> int:
        """The checksum of ``data``."""
        if not self.reflected:
            table = _table(self.polynomial)
            crc = self.start
            for byte in data:
                crc = (crc << 8 & 0xFF00) ^ table[crc >> 8 ^ byte]
            return crc ^ self.final
        table = _reflected_table(self.polynomial)
        crc = _reversed(self.start, 16)
        for byte in data:
            crc = crc >> 8 ^ table[(crc ^ byte) & 0xFF]
        return crc ^ self.final


CCITT_FALSE = Crc16(0x1021, 0xFFFF, reflected=False)
"""Check value 0x29B1; in the catalogue, CRC-16/IBM-3740."""
XMODEM = Crc16(0x1021, 0x0000, reflected=False)
"""0x31C3."""
KERMIT = Crc16(0x1021, 0x0000, reflected=True)
"""0x2189."""
X25 = Crc16(0x1021, 0xFFFF, reflected=True, final=0xFFFF)
"""0x906E; CRC-16/IBM-SDLC."""
MODBUS = Crc16(0x8005, 0xFFFF, reflected=True)
"""0x4B37."""
ARC = Crc16(0x8005, 0x0000, reflected=True)
"""0xBB3D."""


def crc16_ccitt_false(data: bytes) -> int:
    """``CCITT_FALSE.of(data)``, by the standard library: every checked line needs it."""
    return binascii.crc_hqx(data, 0xFFFF)


@lru_cache(maxsize=8)
def _table(polynomial: int) -> tuple[int, ...]:
    table = []
    for byte in range(256):
        crc = byte << 8
        for _ in range(8):
            crc = (crc << 1 ^ polynomial if crc & 0x8000 else crc << 1) & 0xFFFF
        table.append(crc)
    return tuple(table)


@lru_cache(maxsize=8)
def _reflected_table(polynomial: int) -> tuple[int, ...]:
    mirrored = _reversed(polynomial, 16)
    table = []
    for byte in range(256):
        crc = byte
        for _ in range(8):
            crc = crc >> 1 ^ mirrored if crc & 1 else crc >> 1
        table.append(crc)
    return tuple(table)


def _reversed(value: int, bits: int) -> int:
    return int(f"{value:0{bits}b}"[::-1], 2)
