"""Lines with a checksum: CRC-16/CCITT-FALSE over all before the star, four hexadecimal digits."""


def _table():
    entries = []
    for nibble in range(16):
        crc = nibble << 12
        for _ in range(4):
            crc = (crc << 1) ^ 0x1021 if crc & 0x8000 else crc << 1
        entries.append(crc & 0xFFFF)
    return tuple(entries)


_TABLE = _table()


def crc16(data):
    """Polynomial 0x1021, start 0xFFFF. ``b"123456789"`` gives 0x29B1."""
    crc = 0xFFFF
    for byte in data:
        crc = (crc << 4 & 0xFFFF) ^ _TABLE[crc >> 12 ^ byte >> 4]
        crc = (crc << 4 & 0xFFFF) ^ _TABLE[crc >> 12 ^ byte & 15]
    return crc


def checked(body):
    """The line for ``body``, a string, ready to send."""
    data = body.encode()
    return data + b"*%04X\n" % crc16(data)
