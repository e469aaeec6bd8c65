"""Checks that scales nobody has described send after their bytes."""


def xor8(data: bytes) -> bytes:
    parity = 0
    for byte in data:
        parity ^= byte
    return bytes([parity])


def sum8(data: bytes) -> bytes:
    return bytes([sum(data) % 256])


def crc8(data: bytes) -> bytes:
    """Polynomial 0x07: a kind that no description knows."""
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = (crc << 1 ^ 0x07 if crc & 0x80 else crc << 1) & 0xFF
    return bytes([crc])


def crc16(data: bytes, poly: int, start: int, *, reflected: bool, final: int = 0) -> int:
    """Bit by bit, as the catalogue of parametrised CRC algorithms defines them (from memory)."""
    crc = start
    for byte in data:
        byte = int(f"{byte:08b}"[::-1], 2) if reflected else byte
        crc ^= byte << 8
        for _ in range(8):
            crc = (crc << 1 ^ poly if crc & 0x8000 else crc << 1) & 0xFFFF
    return (int(f"{crc:016b}"[::-1], 2) if reflected else crc) ^ final


def modbus(data: bytes) -> bytes:
    """Little end first, as it is sent."""
    return crc16(data, 0x8005, 0xFFFF, reflected=True).to_bytes(2, "little")
