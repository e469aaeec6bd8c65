"""A scale description: how a scale that was never seen before is read and commanded.

Values only. ``described.reader`` and ``described.writer`` know them as TOML; ``described``
makes a decoder of one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum


class Transport(Enum):
    """The way to the scale."""

    SERIAL = "serial"
    BLE = "ble"


@dataclass(frozen=True, slots=True)
class SerialLine:
    """How both ends of a serial line talk."""

    baud: int = 115_200
    """A USB port of a microcontroller takes any; bench scales are often set to 9600."""
    bits: int = 8
    """7 or 8."""
    parity: str = "none"
    """none, even or odd."""
    stop: int = 1
    """1 or 2."""


@dataclass(frozen=True, slots=True)
class Gatt:
    """Which characteristics carry the bytes. UUIDs in full, in small letters."""

    service: str
    notify: str
    """Notified or indicated by the scale."""
    write: str | None = None
    """Written by the host; None where the scale takes no commands."""


class NumberKind(Enum):
    """How a number stands in bytes."""

    UINT8 = "uint8"
    INT8 = "int8"
    UINT16 = "uint16"
    INT16 = "int16"
    UINT24 = "uint24"
    INT24 = "int24"
    UINT32 = "uint32"
    INT32 = "int32"
    FLOAT32 = "float32"
    BCD = "bcd"
    """Two decimal digits a byte."""
    ASCII = "ascii"
    """Decimal digits as text, with blanks, sign and point where there are any."""


@dataclass(frozen=True, slots=True)
class NumberField:
    """A number at a place in a frame."""

    offset: int
    """Of its first byte, from the frame's beginning."""
    kind: NumberKind
    order: str = "little"
    """little or big end first; of no account for ascii."""
    length: int = 0
    """In bytes, for bcd and ascii only; the others have their own."""

    @property
    def size(self) -> int:
        """In bytes."""
        return self.length or _SIZES[self.kind]


_SIZES = {
    NumberKind.UINT8: 1,
    NumberKind.INT8: 1,
    NumberKind.UINT16: 2,
    NumberKind.INT16: 2,
    NumberKind.UINT24: 3,
    NumberKind.INT24: 3,
    NumberKind.UINT32: 4,
    NumberKind.INT32: 4,
    NumberKind.FLOAT32: 4,
    NumberKind.BCD: 0,
    NumberKind.ASCII: 0,
}


@dataclass(frozen=True, slots=True)
class ByteTest:
    """True where the byte's masked bits equal a value; where none is given, where any is set."""

    offset: int
    mask: int = 0xFF
    equals: int | None = None


class ChecksumKind(Enum):
    """Over the bytes of a frame from ``begin`` up to the checksum itself."""

    SUM8 = "sum8"
    """Sum, modulo 256."""
    XOR8 = "xor8"
    """Exclusive-or of all."""
    CRC16 = "crc16"
    """CRC-16/CCITT-FALSE."""
    CRC16_XMODEM = "crc16-xmodem"
    CRC16_KERMIT = "crc16-kermit"
    CRC16_X25 = "crc16-x25"
    CRC16_MODBUS = "crc16-modbus"
    CRC16_ARC = "crc16-arc"


@dataclass(frozen=True, slots=True)
class FrameChecksum:
    """Where a frame's checksum stands and what it covers."""

    kind: ChecksumKind
    offset: int
    begin: int = 0
    order: str = "big"
    """big or little end first; of no account for one byte."""

    @property
    def size(self) -> int:
        """In bytes."""
        return 1 if self.kind in (ChecksumKind.SUM8, ChecksumKind.XOR8) else 2


@dataclass(frozen=True, slots=True)
class BinaryLayout:
    """A frame of fixed length, and what stands where in it."""

    length: int
    """Of a frame, in bytes. What follows in a notification is left alone."""
    weight: NumberField
    start: bytes = b""
    """What every frame begins with. Empty: each notification is a frame (Bluetooth only)."""
    negative: ByteTest | None = None
    """Where the sign stands apart from the number."""
    stable: ByteTest | None = None
    sequence: NumberField | None = None
    device_ms: NumberField | None = None
    checksum: FrameChecksum | None = None


@dataclass(frozen=True, slots=True)
class LinePattern:
    """A line of text and where the weight stands in it.

    In ``template``, ``{weight}``, ``{unit}``, ``{sign}``, ``{stable}``, ``{sequence}``, ``{ms}``
    and ``{skip}`` stand for what they say; a blank stands for any number of blanks, also none;
    all else for itself. ``"{stable},{skip},{sign}{weight} {unit}"`` reads ``ST,GS,+  12.3 g``.
    """

    template: str
    decimal: str = "."
    """The decimal mark, a point or a comma."""
    stable_word: str = "ST"
    """What stands at ``{stable}`` when the weight is at rest."""


@dataclass(frozen=True, slots=True)
class ScaleCommands:
    """Bytes to send, as they go over the wire; None where the scale has no such command."""

    start: bytes | None = None
    """After connecting, so that it begins to send."""
    tare: bytes | None = None
    rates: Mapping[int, bytes] = field(default_factory=dict)
    """By readings a second."""
    poll: bytes | None = None
    """Asks for one reading, of a scale that sends none by itself."""
    poll_hz: float = 5.0
    """How often to ask. Bench scales that are asked answer some five times a second; common
    practice, no published source."""


@dataclass(frozen=True, slots=True)
class ScaleDescription:
    """Everything needed to read one kind of scale.

    At most one of ``line`` and ``layout`` is given; with neither, the scale sends plain or
    checked lines and they are distinguished by what comes.
    """

    name: str
    transport: Transport
    serial: SerialLine = field(default_factory=SerialLine)
    gatt: Gatt | None = None
    """Needed for Bluetooth."""
    line: LinePattern | None = None
    layout: BinaryLayout | None = None
    factor: float = 1.0
    """What the number is multiplied with to give ``unit``; negative where the cell is turned."""
    unit: str = "g"
    """A key of ``mass_unit.GRAMS_IN``; one in the line itself comes before it."""
    on_change: bool = False
    """Whether it sends only when its weight changes, so that its silence says nothing."""
    commands: ScaleCommands = field(default_factory=ScaleCommands)
