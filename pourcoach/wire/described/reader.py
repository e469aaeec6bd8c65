"""TOML into a scale description. It is data from anywhere: nothing in it is trusted."""

import re

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.wire.description import (
    BinaryLayout,
    ByteTest,
    ChecksumKind,
    FrameChecksum,
    Gatt,
    LinePattern,
    NumberField,
    NumberKind,
    ScaleCommands,
    ScaleDescription,
    SerialLine,
    Transport,
)
from pourcoach.wire.lines.line_pattern import LineMatcher
from pourcoach.wire.mass_unit import GRAMS_IN

# A description is some thirty lines; a larger file is something else.
LONGEST_TEXT = 16_384
# The largest attribute value of the Bluetooth Core Specification, vol. 3, part F, 3.2.9.
LONGEST_FRAME = 512
LONGEST_COMMAND = 64
LONGEST_NAME = 60
MOST_RATES = 16
LARGEST_FACTOR = 1e12
"""Beyond it, and below its inverse, no factor makes a weight of anything a scale can send."""
# Slower than once in ten seconds nothing can be determined of a pour; faster than any such scale
# weighs.
LEAST_POLL_HZ, MOST_POLL_HZ = 0.1, 100.0

_SHORT_UUID = re.compile(r"(?:0x)?([0-9a-fA-F]{4})")
_UUID = re.compile(r"[0-9a-fA-F]{8}(?:-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")


def read_description(text: str) -> ScaleDescription:
    """The description in a TOML text. Raises UsageError naming the line or key that is wrong and
    what would be right."""
    if len(text) > LONGEST_TEXT:
        raise UsageError("this is too long for a scale description", "give a description file")
    return _description(CheckedTable.from_toml("the scale description", text))


def _description(top: CheckedTable) -> ScaleDescription:
    name = top.text("name")
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise top.wrong("name", "is no name", f"give it 1 to {LONGEST_NAME} printable characters")
    transport = top.one_of("transport", {way.value: way for way in Transport})
    factor = top.number("factor", 1.0, least=-LARGEST_FACTOR, most=LARGEST_FACTOR)
    if abs(factor) < 1.0 / LARGEST_FACTOR:
        raise top.wrong("factor", f"is {factor:g}", "make it a number other than 0")
    unit = top.one_of("unit", {unit: unit for unit in GRAMS_IN}, "g")
    on_change = top.flag("on_change", usual=False)
    serial = top.maybe("serial", _serial) or SerialLine()
    gatt = top.maybe("gatt", _gatt)
    line = top.maybe("line", _line)
    layout = top.maybe("layout", _layout)
    commands = top.maybe("commands", _commands) or ScaleCommands()
    top.done()
    if transport is Transport.BLE and gatt is None:
        raise top.wrong("gatt", "is missing", "a Bluetooth scale needs its service and notify")
    if line is not None and layout is not None:
        raise top.wrong("layout", "and line are both there", "a scale sends lines or frames")
    if layout is not None and transport is Transport.SERIAL and not layout.start:
        raise top.wrong("layout", "has no start", "without one, no frame is found in a stream")
    return ScaleDescription(
        name, transport, serial, gatt, line, layout, factor, unit, on_change, commands
    )


def _serial(table: CheckedTable) -> SerialLine:
    usual = SerialLine()
    serial = SerialLine(
        table.whole("baud", 50, 4_000_000, usual.baud),
        table.whole("bits", 7, 8, usual.bits),
        table.one_of("parity", {name: name for name in ("none", "even", "odd")}, usual.parity),
        table.whole("stop", 1, 2, usual.stop),
    )
    table.done()
    return serial


def _gatt(table: CheckedTable) -> Gatt:
    gatt = Gatt(
        _uuid(table, "service"),
        _uuid(table, "notify"),
        _uuid(table, "write") if "write" in table else None,
    )
    table.done()
    return gatt


def _uuid(table: CheckedTable, key: str) -> str:
    text = table.text(key)
    short = _SHORT_UUID.fullmatch(text)
    if short:
        # Bluetooth Core Specification, vol. 3, part B, 2.5.1: the base of the short numbers.
        return f"0000{short[1].lower()}-0000-1000-8000-00805f9b34fb"
    if not _UUID.fullmatch(text):
        raise table.wrong(key, f"is {text!r:.50}", "write it as 8-4-4-4-12 or 4 hexadecimal digits")
    return text.lower()


def _line(table: CheckedTable) -> LinePattern:
    usual = LinePattern("")
    pattern = LinePattern(
        table.text("pattern"),
        table.one_of("decimal", {".": ".", ",": ","}, usual.decimal),
        table.text("stable_word", usual.stable_word),
    )
    try:
        LineMatcher(pattern)
    except UsageError as error:
        raise table.wrong("pattern", f"cannot be used: {error.what}", error.remedy) from None
    table.done()
    return pattern


def _layout(table: CheckedTable) -> BinaryLayout:
    length = table.whole("length", 1, LONGEST_FRAME)
    start = _hex(table, "start") if "start" in table else b""
    if len(start) >= length:
        raise table.wrong("start", "fills the whole frame", "leave room for the weight")

    def number(inner: CheckedTable) -> NumberField:
        return _number(inner, length)

    def test(inner: CheckedTable) -> ByteTest:
        return _test(inner, length)

    layout = BinaryLayout(
        length,
        number(table.table("weight")),
        start,
        table.maybe("negative", test),
        table.maybe("stable", test),
        table.maybe("sequence", number),
        table.maybe("device_ms", number),
        table.maybe("checksum", lambda inner: _checksum(inner, length)),
    )
    table.done()
    return layout


def _number(table: CheckedTable, frame: int) -> NumberField:
    kind = table.one_of("kind", {kind.value: kind for kind in NumberKind})
    sized = kind in (NumberKind.BCD, NumberKind.ASCII)
    field = NumberField(
        table.whole("offset", 0, frame - 1),
        kind,
        table.one_of("order", {"little": "little", "big": "big"}, "little"),
        table.whole("length", 1, 16) if sized else 0,
    )
    table.done()
    if field.offset + field.size > frame:
        raise table.wrong("offset", "ends beyond the frame", "count bytes from 0")
    return field


def _test(table: CheckedTable, frame: int) -> ByteTest:
    test = ByteTest(
        table.whole("offset", 0, frame - 1),
        table.whole("mask", 1, 0xFF, 0xFF),
        table.whole("equals", 0, 0xFF) if "equals" in table else None,
    )
    table.done()
    return test


def _checksum(table: CheckedTable, frame: int) -> FrameChecksum:
    offset = table.whole("offset", 1, frame - 1)
    checksum = FrameChecksum(
        table.one_of("kind", {kind.value: kind for kind in ChecksumKind}),
        offset,
        table.whole("begin", 0, offset - 1, 0),
        table.one_of("order", {"big": "big", "little": "little"}, "big"),
    )
    table.done()
    if offset + checksum.size > frame:
        raise table.wrong("offset", "ends beyond the frame", "count bytes from 0")
    return checksum


def _commands(table: CheckedTable) -> ScaleCommands:
    start = _command(table.table("start")) if "start" in table else None
    tare = _command(table.table("tare")) if "tare" in table else None
    poll = _command(table.table("poll")) if "poll" in table else None
    poll_hz = table.number(
        "poll_hz", ScaleCommands().poll_hz, least=LEAST_POLL_HZ, most=MOST_POLL_HZ
    )
    rates = table.maybe("rate", _rates) or {}
    table.done()
    return ScaleCommands(start, tare, rates, poll, poll_hz)


def _rates(table: CheckedTable) -> dict[int, bytes]:
    rates: dict[int, bytes] = {}
    for key in table.all_keys():
        if not re.fullmatch(r"[1-9]\d{0,3}", key) or len(rates) == MOST_RATES:
            raise table.wrong(key, "is no rate", "use whole readings a second, as in 10 = {…}")
        rates[int(key)] = _command(table.table(key))
    return rates


def _command(table: CheckedTable) -> bytes:
    if "text" in table:
        text = table.text("text")
        if not text.isascii():
            raise table.wrong("text", "has letters beyond ASCII", "use hex for such bytes")
        data = text.encode("ascii")
    else:
        data = _hex(table, "hex")
    table.done()
    if not 0 < len(data) <= LONGEST_COMMAND:
        raise table.wrong("text", f"has {len(data)} bytes", f"use 1 to {LONGEST_COMMAND}")
    return data


def _hex(table: CheckedTable, key: str) -> bytes:
    text = table.text(key)
    try:
        return bytes.fromhex(text)
    except ValueError:
        raise table.wrong(key, f"is {text!r:.50}", 'write bytes as in "aa 55 0d"') from None
