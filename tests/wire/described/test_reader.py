"""Descriptions from TOML: whole ones read, broken and hostile ones refused by line and key."""

import contextlib
import copy
import tomllib

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.errors import UsageError
from pourcoach.wire.described.reader import read_description
from pourcoach.wire.described.writer import write_description
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

FRAMES = """\
name = "bench scale with a radio"
transport = "ble"
factor = 0.1
unit = "g"

[gatt]
service = "fff0"
notify = "0000FFF1-0000-1000-8000-00805f9b34fb"
write = "fff2"

[layout]
length = 10
start = "aa 55"
weight = {offset = 3, kind = "int24", order = "big"}
negative = {offset = 2, mask = 1}
stable = {offset = 2, mask = 0x0f, equals = 2}
checksum = {kind = "xor8", offset = 9, begin = 2}

[commands]
tare = {hex = "aa 55 01"}
poll = {text = "P"}
poll_hz = 8
start = {text = "go\\r\\n"}
rate = {10 = {text = "r10"}, 80 = {text = "r80"}}
"""

BASE = "0000{}-0000-1000-8000-00805f9b34fb"
FRAMES_VALUE = ScaleDescription(
    "bench scale with a radio",
    Transport.BLE,
    gatt=Gatt(BASE.format("fff0"), BASE.format("fff1"), BASE.format("fff2")),
    layout=BinaryLayout(
        10,
        NumberField(3, NumberKind.INT24, "big"),
        b"\xaa\x55",
        negative=ByteTest(2, 1),
        stable=ByteTest(2, 0x0F, 2),
        checksum=FrameChecksum(ChecksumKind.XOR8, 9, 2),
    ),
    factor=0.1,
    commands=ScaleCommands(b"go\r\n", b"\xaa\x55\x01", {10: b"r10", 80: b"r80"}, b"P", 8.0),
)

LINES_VALUE = ScaleDescription(
    "bench scale",
    Transport.SERIAL,
    serial=SerialLine(9600, 7, "even", 1),
    line=LinePattern("{stable},{weight} {unit}", ",", "S"),
    factor=-1.0,
    unit="kg",
    on_change=True,
)

EVERY_FIELD = ScaleDescription(
    "every field",
    Transport.SERIAL,
    layout=BinaryLayout(
        24,
        NumberField(2, NumberKind.ASCII, length=6),
        b"\x02",
        sequence=NumberField(8, NumberKind.BCD, "big", 2),
        device_ms=NumberField(10, NumberKind.UINT32),
        checksum=FrameChecksum(ChecksumKind.CRC16, 22),
    ),
)


def test_a_whole_description() -> None:
    assert read_description(FRAMES) == FRAMES_VALUE


@pytest.mark.parametrize("description", [FRAMES_VALUE, LINES_VALUE, EVERY_FIELD])
def test_what_is_written_is_read_back(description: ScaleDescription) -> None:
    assert read_description(write_description(description)) == description


def changed(old: str, new: str) -> str:
    assert old in FRAMES
    return FRAMES.replace(old, new)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (changed("length = 10", "length ="), "line 12"),
        (changed("factor = 0.1", "factor = 0"), "line 3: factor is 0"),
        (changed("factor = 0.1", "factor = nan"), "line 3: factor is nan"),
        (changed("factor = 0.1", "factor = 1e300"), "line 3: factor"),
        (changed('unit = "g"', 'unit = "stone"'), "line 4: unit is 'stone'; use one of g, kg"),
        (changed('name = "bench', 'name = "\\u001b[2Jbench'), "line 1: name is no name"),
        (changed('name = "bench scale with a radio"\n', ""), "name is missing"),
        (changed('"ble"', '"pigeon"'), "line 2: transport is 'pigeon'"),
        (changed('"fff0"', '"fff"'), "line 7: gatt.service is 'fff'"),
        (changed("[gatt]", "[gattt]"), "line 6: gattt is not known here"),
        (changed("length = 10", "length = 0"), "line 12: layout.length is 0"),
        (changed("length = 10", "length = 1000000000"), "line 12: layout.length"),
        (changed("offset = 3", "offset = 8"), "line 14: layout.weight.offset ends beyond"),
        (changed("offset = 3", "offset = -1"), "line 14: layout.weight.offset is -1"),
        (changed('"int24"', '"int25"'), "line 14: layout.weight.kind is 'int25'"),
        (changed("mask = 1}", "mask = 256}"), "line 15: layout.negative.mask is 256"),
        (changed('"aa 55"', '"aa 5"'), "line 13: layout.start is 'aa 5'"),
        (changed('"aa 55"', '"aa55aa55aa55aa55aa55"'), "line 13: layout.start fills"),
        (changed('"xor8", offset = 9', '"crc16", offset = 9'), "checksum.offset ends beyond"),
        (changed("poll_hz = 8", "poll_hz = 0.01"), "commands.poll_hz is 0.01; make it a number"),
        (changed("10 = {", "0 = {"), "commands.rate.0 is no rate"),
        (changed('"r10"', f'"{"r" * 65}"'), "65 bytes"),
        (changed('"r10"', '""'), "0 bytes"),
        (changed('"r10"', '"é"'), "beyond ASCII"),
        (FRAMES + "[line]\npattern = '{weight}'\n", "line 11: layout and line are both there"),
        ('name = "x"\ntransport = "ble"\n', "gatt is missing"),
        (
            'name = "x"\ntransport = "serial"\n[line]\npattern = "{skip}{weight}"\n',
            "line 4: line.pattern cannot be used: {skip} runs into {weight}",
        ),
        (
            'name = "x"\ntransport = "serial"\n'
            '[layout]\nlength = 2\nweight = {offset = 0, kind = "int16"}\n',
            "line 3: layout has no start",
        ),
        ('name = "x"\ntransport = "serial"\nserial = 9600\n', "line 3: serial is 9600"),
        ('name = "x"\ntransport = "serial"\n[serial]\nbaud = true\n', "line 4: serial.baud"),
        ("x = " + "[" * 8000, "nested too deeply"),
        ("x = " + "9" * 8000, "is not TOML"),
        ("#" * 20_000, "too long"),
        ("\x00", "is not TOML"),
    ],
)
def test_broken_and_hostile_ones_are_refused_by_line_and_key(text: str, says: str) -> None:
    with pytest.raises(UsageError) as error:
        read_description(text)
    assert says in str(error.value)
    assert "\n" not in str(error.value)
    assert "\x1b" not in str(error.value)


VALUES = st.recursive(
    st.one_of(st.integers(), st.floats(), st.booleans(), st.text(max_size=8)),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=5,
)


@given(st.integers(0, len(FRAMES)), st.integers(0, 12), st.text(max_size=6))
def test_any_slip_of_the_pen_is_read_or_refused(at: int, gone: int, typed: str) -> None:
    text = FRAMES[:at] + typed + FRAMES[at + gone :]
    with contextlib.suppress(UsageError):
        assert isinstance(read_description(text), ScaleDescription)


@given(
    st.sampled_from(
        ["name", "factor", "unit", "on_change", "serial", "gatt", "layout", "line", "commands"]
    ),
    VALUES,
)
def test_any_value_anywhere_is_read_or_refused(key: str, value: object) -> None:
    data = tomllib.loads(FRAMES)
    for table in (data, *(inner for inner in data.values() if isinstance(inner, dict))):
        changed_data = copy.deepcopy(data)
        if table is data:
            changed_data[key] = value
        else:
            (name,) = (name for name, inner in data.items() if inner is table)
            for inner_key in table:
                changed_data[name][inner_key] = value
        try:
            text = tomli_w.dumps(changed_data)
        except (TypeError, ValueError, UnicodeError):
            continue
        with contextlib.suppress(UsageError):
            assert isinstance(read_description(text), ScaleDescription)
