"""Lines as a scale sends them: what the fake peers say and the reference firmware must match."""

from collections.abc import Sequence

from pourcoach.wire.checksum import crc16_ccitt_false


def encode_checked(
    sequence: int, device_ms: int, grams: float, corners_g: Sequence[float] = ()
) -> bytes:
    """One weighing, LF included."""
    weights = ",".join(f"{value:.2f}" for value in (grams, *corners_g))
    return _seal(f"w,{sequence},{device_ms % 2**32},{weights}")


def encode_counts(sequence: int, device_ms: int, counts: Sequence[int]) -> bytes:
    """One line of raw counts, a whole number for each cell, their sum first where several."""
    return _seal(f"c,{sequence},{device_ms % 2**32}," + ",".join(str(count) for count in counts))


def encode_about(facts: dict[str, str]) -> bytes:
    """The answer to ``about``."""
    return _seal("a," + ",".join(f"{key}={value}" for key, value in facts.items()))


def encode_plain(grams: float) -> bytes:
    """One plain line, LF included."""
    return b"%.2f\n" % grams


def _seal(body: str) -> bytes:
    data = body.encode("ascii")
    return data + b"*%04X\n" % crc16_ccitt_false(data)
