"""A copy of a tape in memory, packed: a day of it at 10 readings a second takes some megabytes."""

import zlib

# The fastest: it must cost the brew nothing. Tapes are alike from line to line and pack well.
_LEVEL = 1
# So many bytes are packed at once. Packing lets other threads run each time, and one that reads a
# fast scale keeps the brew waiting for some milliseconds.
_AT_ONCE = 16_384


class PackedCopy:
    """Bytes added one after another and given back whole."""

    def __init__(self) -> None:
        self._packing = zlib.compressobj(_LEVEL)
        self._packed = bytearray()
        self._newest = bytearray()

    def add(self, data: bytes) -> None:
        """Take the next bytes."""
        self._newest += data
        if len(self._newest) >= _AT_ONCE:
            self._packed += self._packing.compress(self._newest)
            self._newest.clear()

    def data(self) -> bytes:
        """All of them."""
        ended = self._packing.copy().flush()
        return zlib.decompress(bytes(self._packed) + ended) + bytes(self._newest)
