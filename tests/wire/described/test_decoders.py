"""Decoders of described scales."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.inputs import Reading
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.described.decoders import LayoutDecoder, decoder_for
from pourcoach.wire.description import (
    BinaryLayout,
    ByteTest,
    ChecksumKind,
    FrameChecksum,
    LinePattern,
    NumberField,
    NumberKind,
    ScaleDescription,
    Transport,
)
from pourcoach.wire.lines.line_decoder import LineDecoder

MARKED = BinaryLayout(
    length=6,
    weight=NumberField(2, NumberKind.INT16, "big"),
    start=b"\xaa\x55",
    sequence=NumberField(4, NumberKind.UINT8),
    checksum=FrameChecksum(ChecksumKind.SUM8, 5),
)
BARE = BinaryLayout(length=3, weight=NumberField(0, NumberKind.INT16), stable=ByteTest(2, 1))


def marked(tenths: int, sequence: int) -> bytes:
    body = b"\xaa\x55" + tenths.to_bytes(2, "big", signed=True) + bytes([sequence % 256])
    return body + bytes([sum(body) % 256])


def test_without_line_or_layout_it_is_the_line_format() -> None:
    assert isinstance(decoder_for(ScaleDescription("plain", Transport.SERIAL)), LineDecoder)


def test_lines_with_unit_factor_and_stability() -> None:
    description = ScaleDescription(
        "turned cell",
        Transport.SERIAL,
        line=LinePattern("{stable},{weight} {unit}"),
        factor=-1.0,
        unit="kg",
    )
    decoder = decoder_for(description)
    assert decoder.feed(b"T,1 g\nST,-0.250 kg\nUS,30 g\nrubbish\n", 1.0) == [
        Reading(1.0, 250.0, stable=True),
        Reading(1.0, -30.0, stable=False),
    ]
    assert decoder.dropped == {DropReason.CUT: 1, DropReason.OTHER: 1}


def test_a_line_without_unit_has_the_described_one() -> None:
    description = ScaleDescription(
        "bare", Transport.SERIAL, line=LinePattern("{skip},{weight}"), factor=0.5, unit="oz"
    )
    readings = decoder_for(description).feed(b"-\n17,2.0\n", 0.0)
    assert [reading.grams for reading in readings] == [pytest.approx(28.349523125)]


def test_notifications_without_a_start_mark_are_frames() -> None:
    decoder = LayoutDecoder(BARE, 0.1)
    assert decoder.feed(b"\x7b\x00\x01\xff\xff", 1.0) == [
        Reading(1.0, pytest.approx(12.3), stable=True)
    ]
    assert decoder.feed(b"\x7b", 1.0) == []
    assert decoder.dropped == {DropReason.CUT: 1}


def test_sequence_numbers_are_unwrapped_and_doubles_dropped() -> None:
    decoder = LayoutDecoder(MARKED, 0.1)
    data = b"".join(marked(n, n) * 2 for n in (254, 255, 256, 257))
    assert [reading.sequence for reading in decoder.feed(data, 0.0)] == [254, 255, 256, 257]
    assert decoder.dropped == {DropReason.REPEATED: 4}


def test_frames_are_found_after_rubbish_and_a_false_start() -> None:
    decoder = LayoutDecoder(MARKED, 0.1)
    data = b"\x00\xaa\x55\x01" + marked(123, 0) + b"\xaa" + marked(-5, 1)
    assert [reading.grams for reading in decoder.feed(data, 0.0)] == pytest.approx([12.3, -0.5])


@given(
    st.lists(
        st.one_of(
            st.binary(max_size=9),
            st.builds(marked, st.integers(-3000, 3000), st.integers(0, 3)),
            st.just(b"\xaa\x55"),
        ),
        max_size=12,
    ),
    st.lists(st.integers(0, 100), max_size=10),
)
def test_chunking_changes_nothing_where_there_is_a_start_mark(
    pieces: list[bytes], cuts: list[int]
) -> None:
    data = b"".join(pieces)
    whole, cut = LayoutDecoder(MARKED, 0.1), LayoutDecoder(MARKED, 0.1)
    edges = [0, *sorted(cuts), len(data)]
    readings = []
    for begin, end in pairwise(edges):
        readings += cut.feed(data[begin:end], 1.0)
        assert len(cut._rest) < MARKED.length
    assert readings == whole.feed(data, 1.0)
    assert cut.dropped == whole.dropped
