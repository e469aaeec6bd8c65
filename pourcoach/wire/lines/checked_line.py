"""The checked line: ``w,<sequence>,<device ms>,<grams>[,<corner grams>…]*<CRC>``.

The CRC is CRC-16/CCITT-FALSE over every byte before the ``*``, as four hexadecimal digits.
Beside weights (``w``) a scale may send raw counts (``c``, the same fields, after ``counts on``)
and, in answer to ``about``, one line ``a,<key>=<value>[,<key>=<value>…]``.
"""

import re
from dataclasses import dataclass

from pourcoach.wire.checksum import crc16_ccitt_false
from pourcoach.wire.decoder import MOST_G, DropReason

_LOOKS_CHECKED = re.compile(rb"[wca],|.*\*[0-9A-Fa-f]{4}$", re.DOTALL)
_SEALED = re.compile(rb"([wca],[\x20-\x7e]*)\*([0-9A-Fa-f]{4})")
_COUNT = re.compile(r"\d{1,10}")
_NUMBER = re.compile(r"[+-]?\d{1,9}(\.\d{1,6})?")
_ABOUT = re.compile(r"([a-z_]{1,24})=([^=,]{0,48})")


@dataclass(frozen=True, slots=True)
class CheckedLine:
    """One weighing, or one set of raw counts."""

    sequence: int
    device_ms: int
    """The scale's clock, wrapping at 2**32."""
    value: float
    """Grams; counts where ``raw``."""
    corners: tuple[float, ...] = ()
    raw: bool = False


@dataclass(frozen=True, slots=True)
class AboutLine:
    """What a scale reports about itself."""

    facts: dict[str, str]


def looks_checked(line: bytes) -> bool:
    """Whether a line is, or is a broken piece of, a checked one: never to be read as plain."""
    return _LOOKS_CHECKED.match(line) is not None


def parse_checked(line: bytes) -> CheckedLine | AboutLine | DropReason:
    """Read one line without its end."""
    sealed = _SEALED.fullmatch(line)
    if sealed is None or crc16_ccitt_false(sealed[1]) != int(sealed[2], 16):
        return DropReason.CHECKSUM
    kind, *fields = sealed[1].decode("ascii").split(",")
    if kind == "a":
        facts = [_ABOUT.fullmatch(field) for field in fields]
        return AboutLine({fact[1]: fact[2] for fact in facts if fact is not None})
    if len(fields) < 3 or not all(_COUNT.fullmatch(field) for field in fields[:2]):
        return DropReason.MALFORMED
    if not all(_NUMBER.fullmatch(field) for field in fields[2:]):
        return DropReason.MALFORMED
    value, *corners = (float(field) for field in fields[2:])
    if kind == "w" and abs(value) > MOST_G:
        return DropReason.OUT_OF_RANGE
    return CheckedLine(int(fields[0]), int(fields[1]), value, tuple(corners), raw=kind == "c")
