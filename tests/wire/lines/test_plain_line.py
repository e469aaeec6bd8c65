"""What general bench scales print, and what must not be taken for a weight."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.wire.decoder import DropReason
from pourcoach.wire.lines.plain_line import PlainLine, parse_plain
from tests.wire.scale_lines import encode_plain

WEIGHTS = [
    (b"12.34", 12.34, None),
    (b"+012.3 g", 12.3, None),
    (b"-0.5", -0.5, None),
    (b"-   0.5 g", -0.5, None),
    (b"+  12.34 g", 12.34, None),
    (b"ST,GS,+  12.34 g", 12.34, True),
    (b"US,NT,-0012.3kg", -12300.0, False),
    (b"ST,+00012.34  g", 12.34, True),
    (b"S S     100.00 g", 100.0, True),
    (b"S D     100.00 g", 100.0, False),
    (b"  12.34 g ?", 12.34, False),
    (b"N  +  12.34 g  S", 12.34, True),
    (b"G    0,25 kg", 250.0, None),
    (b"12,34 g", 12.34, None),
    (b"12,34", 12.34, None),
    (b".5 g", 0.5, None),
    (b"500 mg", 0.5, None),
    (b"1 oz", 28.349523125, None),
    (b"1.000 lb", 453.59237, None),
    (b"-1 lb 2.0 oz", -(453.59237 + 2 * 28.349523125), None),
    (b"\x02+  12.34 g\x03", 12.34, None),
    (b"Gross:  12.3 g", 12.3, None),
    (b"Net Weight:   12.3 g", 12.3, None),
    (b"12:34:56  12.3 g", 12.3, None),
    (b"2026-01-15 12:34:56 12.3 g", 12.3, None),
    (b"17 12.3 g", 12.3, None),
    (b"#17 12.3", 12.3, None),
    (b"WT-12.3", -12.3, None),
]


@pytest.mark.parametrize(("line", "grams", "stable"), WEIGHTS)
def test_weights(line: bytes, grams: float, stable: bool | None) -> None:
    parsed = parse_plain(line)
    assert isinstance(parsed, PlainLine)
    assert (parsed.channels_g[0], parsed.stable) == (pytest.approx(grams), stable)


@pytest.mark.parametrize(
    ("line", "channel", "channels_g"),
    [
        (b"1:  12.3 g  2:  45.6 g", None, (12.3, 45.6)),
        (b"CH1 12.3 g CH2 -45.6 g", None, (12.3, -45.6)),
        (b"12.3 g, 45.6 g", None, (12.3, 45.6)),
        (b"12.3 45.6", 2, (12.3, 45.6)),
        (b"12.34,45.67", 1, (12.34, 45.67)),
        (b"12,34;45,67", 1, (12.34, 45.67)),
        (b"1,2,3", 3, (1.0, 2.0, 3.0)),
    ],
)
def test_two_channels(line: bytes, channel: int | None, channels_g: tuple[float, ...]) -> None:
    parsed = parse_plain(line, channel)
    assert isinstance(parsed, PlainLine)
    assert parsed.channels_g == pytest.approx(channels_g)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (b"ready", DropReason.NO_NUMBER),
        (b"ES", DropReason.NO_NUMBER),
        (b"clk_drv:0x00,q_drv:0x00", DropReason.NO_NUMBER),
        (b"load:0x3fff0018,len:4", DropReason.NO_NUMBER),
        (b"firmware 1.2", DropReason.NO_NUMBER),
        (b"battery 87", DropReason.NO_NUMBER),
        (b"OL", DropReason.OUT_OF_RANGE),
        (b"ST,GS,+OL", DropReason.OUT_OF_RANGE),
        (b"------ g", DropReason.OUT_OF_RANGE),
        (b"999999999 g", DropReason.OUT_OF_RANGE),
        (b"12 pcs", DropReason.UNIT),
        (b"12.5 %", DropReason.UNIT),
        (b"1,234.5 g", DropReason.AMBIGUOUS),
        (b"1.234,5 g", DropReason.AMBIGUOUS),
        (b"12.3 45.6", DropReason.AMBIGUOUS),
        (b"1.2.3", DropReason.AMBIGUOUS),
        (b"12.\xff3 g", DropReason.NOT_TEXT),
        (b"\x0012.3\x07 g", DropReason.NOT_TEXT),
    ],
)
def test_what_is_no_weight(line: bytes, reason: DropReason) -> None:
    assert parse_plain(line) is reason


@given(st.floats(-9000, 9000).map(lambda grams: round(grams, 2)))
def test_what_is_encoded_is_read_back(grams: float) -> None:
    parsed = parse_plain(encode_plain(grams).rstrip())
    assert parsed == PlainLine((grams,), None)


@given(st.binary(max_size=80))
def test_no_bytes_raise(line: bytes) -> None:
    assert isinstance(parse_plain(line), PlainLine | DropReason)
