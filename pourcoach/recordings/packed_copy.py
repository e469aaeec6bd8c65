"""A copy of a tape in memory, packed: a day of it at 10 readings a second takes some megabytes."""

import zlib

# The fastest: it must cost the brew nothing. Tapes are alike from line to line and pack well.
_LEVEL = 1


class PackedCopy:
    """Bytes added one after another and given back whole."""

    def __init__(self) -> None:
        self._packing = zlib.compressobj(_LEVEL)
        self._packed = bytearray()

    def add(self, data: bytes) -> None:
        """Take the next bytes."""
        self._packed += self._packing.compress(data)

    def data(self) -> bytes:
        """All of them."""
        ended = self._packing.copy().flush()
        return zlib.decompress(bytes(self._packed) + ended)
