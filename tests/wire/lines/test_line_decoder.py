"""Plain and checked streams, whole, cut, mixed and with rubbish."""

import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.inputs import Reading
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.lines.line_decoder import LineDecoder
from tests.wire.scale_lines import encode_about, encode_checked, encode_counts


def test_plain_lines_after_the_first() -> None:
    decoder = LineDecoder()
    assert decoder.feed(b"9.99\n1.00\nST,+2.00 g\n", 5.0) == [
        Reading(5.0, 1.0),
        Reading(5.0, 2.0, stable=True),
    ]
    assert decoder.dropped == {DropReason.CUT: 1}


def test_a_first_checked_line_is_taken() -> None:
    decoder = LineDecoder()
    assert decoder.feed(encode_checked(3, 1500, 2.5, (1.0, 1.5)), 0.2) == [
        Reading(0.2, 2.5, 1.5, 3, (1.0, 1.5))
    ]


def test_plain_lines_among_checked_ones_are_rubbish() -> None:
    decoder = LineDecoder()
    data = encode_checked(0, 0, 1.0) + b"99.0\n" + encode_checked(1, 12, 2.0)
    assert [reading.grams for reading in decoder.feed(data, 0.0)] == [1.0, 2.0]
    assert decoder.dropped == {DropReason.UNCHECKED: 1}


def test_a_banner_before_checked_lines_gives_no_weight() -> None:
    banner = b"\x00\xfe\r\nboot 3.2, 8 MB\r\ncells: 1\r\nready in 12 ms\r\n"
    decoder = LineDecoder()
    assert decoder.feed(banner, 0.0) == []
    assert len(decoder.feed(encode_checked(0, 0, 1.0), 0.0)) == 1


def test_a_line_sent_twice_counts_once() -> None:
    decoder = LineDecoder()
    data = b"".join(encode_checked(n, n * 12, 1.0) * 2 for n in range(5))
    assert [reading.sequence for reading in decoder.feed(data, 0.0)] == [0, 1, 2, 3, 4]
    assert decoder.dropped == {DropReason.REPEATED: 5}


def test_lost_lines_are_counted_and_a_wrapped_sequence_is_not() -> None:
    decoder = LineDecoder()
    for sequence in (65533, 65535, 0, 1):
        decoder.feed(encode_checked(sequence, 0, 1.0), 0.0)
    assert decoder.missed == 1


def test_counts_only_where_they_are_asked_for() -> None:
    data = encode_counts(0, 0, [8123])
    asked, unasked = LineDecoder(raw=True), LineDecoder()
    assert [reading.grams for reading in asked.feed(data, 0.0)] == [8123.0]
    assert unasked.feed(data, 0.0) == []
    assert unasked.dropped == {DropReason.COUNTS: 1}


def test_grams_are_no_counts() -> None:
    decoder = LineDecoder(raw=True)
    assert decoder.feed(encode_checked(0, 0, 1.0), 0.0) == []
    assert decoder.dropped == {DropReason.GRAMS: 1}


def test_counts_are_calibrated() -> None:
    decoder = LineDecoder(raw=True, calibrated=lambda counts: (counts + 5000) / 400)
    checked = decoder.feed(encode_counts(1, 1000, [395_000, 200_000, 195_000]), 2.0)
    assert checked == [Reading(2.0, 1000.0, 1.0, 1)]
    plain = LineDecoder(raw=True, calibrated=lambda counts: (counts + 5000) / 400)
    assert plain.feed(b"-\n395000\n", 2.0) == [Reading(2.0, 1000.0)]


def test_about_is_kept_and_is_no_reading() -> None:
    decoder = LineDecoder()
    assert decoder.feed(encode_about({"name": "bench"}), 0.0) == []
    assert decoder.about == {"name": "bench"}


@pytest.mark.parametrize(("channel", "grams"), [(None, 12.3), (1, 12.3), (2, 45.6)])
def test_channel(channel: int | None, grams: float) -> None:
    decoder = LineDecoder(channel=channel)
    readings = decoder.feed(b"\n-\n1: 12.3 g  2: 45.6 g\n", 0.0)
    assert [reading.grams for reading in readings] == [grams]


def test_a_channel_that_is_not_there_is_no_reading() -> None:
    decoder = LineDecoder(channel=2)
    assert decoder.feed(b"-\n12.3 g\n", 0.0) == []


PIECES = st.one_of(
    st.binary(max_size=40),
    st.builds(encode_checked, st.integers(0, 99), st.integers(0, 2**32 - 1), st.floats(-99, 99)),
    st.sampled_from([b"12.3\r\n", b"ST,GS,+  1.5 kg\n", b"\n", b"w,1,2,3*", b"x" * 300]),
)


@given(st.lists(PIECES, max_size=12), st.lists(st.integers(0, 900), max_size=10))
def test_chunking_changes_nothing(pieces: list[bytes], cuts: list[int]) -> None:
    data = b"".join(pieces)
    whole, cut = LineDecoder(), LineDecoder()
    edges = [0, *sorted(cuts), len(data)]
    readings = []
    for begin, end in pairwise(edges):
        readings += cut.feed(data[begin:end], 1.0)
    assert readings == whole.feed(data, 1.0)
    assert cut.dropped == whole.dropped


def test_checked_lines_survive_a_megabyte_of_rubbish_and_nothing_else_does() -> None:
    rubbish = random.Random(4).randbytes(2**20)
    decoder = LineDecoder()
    first = decoder.feed(encode_checked(0, 0, 1.0), 0.0)
    assert decoder.feed(rubbish, 0.0) == []
    last = decoder.feed(b"\n" + encode_checked(1, 12, 2.0), 0.0)
    assert [reading.grams for reading in first + last] == [1.0, 2.0]


def test_random_bytes_give_no_weight() -> None:
    """They did, one in some 4000 lines; of 10 MB enough to begin a brew."""
    noise = random.Random(20260115)
    decoder = LineDecoder()
    readings = [
        reading
        for second in range(300)
        for reading in decoder.feed(noise.randbytes(10_000), second)
    ]
    assert len(readings) <= 1


def test_plain_lines_among_damaged_ones_are_taken() -> None:
    decoder = LineDecoder()
    lines = [b"%d.5 g\n" % n if n % 3 else b"\xff\xfe\x8112\n" for n in range(90)]
    assert len(decoder.feed(b"".join(lines), 1.0)) >= 58


def test_plain_lines_are_taken_again_once_the_rubbish_is_over() -> None:
    decoder = LineDecoder()
    decoder.feed(random.Random(1).randbytes(100_000) + b"\n", 1.0)
    readings = decoder.feed(b"12.5 g\n" * 30, 2.0)
    assert len(readings) >= 20
