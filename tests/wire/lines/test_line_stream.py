"""A line that lost bytes to a pause of the link is no reading, whatever number is left of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.wire.decoder import DropReason
from pourcoach.wire.described.decoders import PatternDecoder
from pourcoach.wire.description import LinePattern
from pourcoach.wire.lines.line_decoder import LineDecoder
from pourcoach.wire.lines.line_stream import LineStream


def fed(chunks: list[tuple[float, bytes]], *, pauses: bool = False) -> list[tuple[bytes, bool]]:
    stream = LineStream(pauses=pauses)
    return [
        (line.data, line.torn)
        for t_s, data in chunks
        for line in stream.feed(data, t_s)
        if line.data is not None
    ]


TEN_A_SECOND = [(0.1 * n, b"145.%d\r\n" % n) for n in range(8)]


def test_the_first_line_may_be_torn_and_no_other_is_while_lines_keep_coming() -> None:
    assert [torn for _, torn in fed(TEN_A_SECOND)] == [True] + [False] * 7


def test_a_line_begun_before_a_pause_and_ended_after_it_is_torn() -> None:
    lines = fed([*TEN_A_SECOND, (0.8, b"14"), (1.4, b"9.7\r\n150.1\r\n")])
    assert lines[-2:] == [(b"149.7", True), (b"150.1", False)]


def test_the_first_line_after_a_pause_is_torn() -> None:
    lines = fed([*TEN_A_SECOND, (1.3, b"9.7\r\n"), (1.4, b"150.1\r\n")])
    assert lines[-2:] == [(b"9.7", True), (b"150.1", False)]


def test_a_scale_of_one_line_a_second_does_not_pause() -> None:
    lines = fed([(float(n), b"%d.0\n" % n) for n in range(8)])
    assert not any(torn for _, torn in lines[1:])


def test_nothing_but_the_first_is_torn_where_the_scale_pauses_at_will() -> None:
    lines = fed([*TEN_A_SECOND, (30.0, b"0.0\r\n")], pauses=True)
    assert lines[-1] == (b"0.0", False)


@pytest.mark.parametrize(
    "decoder", [LineDecoder(), PatternDecoder(LinePattern("{weight}"), 1.0, 1.0)]
)
def test_what_is_left_of_a_torn_line_is_no_weight(decoder: LineDecoder | PatternDecoder) -> None:
    chunks = [*TEN_A_SECOND, (0.8, b"14"), (1.4, b"3.9\r\n150.1\r\n")]
    grams = [reading.grams for t_s, data in chunks for reading in decoder.feed(data, t_s)]
    assert grams == [145.1, 145.2, 145.3, 145.4, 145.5, 145.6, 145.7, 150.1]
    assert decoder.dropped[DropReason.CUT] == 2


@given(st.integers(0, 60), st.integers(0, 40), st.floats(0.5, 1.4))
def test_no_loss_of_bytes_in_a_pour_gives_a_weight_that_was_not_sent(
    at: int, lost: int, pause_s: float
) -> None:
    """Any stretch of the stream lost to a pause, whatever it cuts in two."""
    sent = [b"%.1f\r\n" % (100 + 0.7 * n) for n in range(24)]
    before, after = sent[:12], b"".join(sent[12:])
    held = b"".join(before)
    cut = len(held) - at % len(before[-1])
    decoder = LineDecoder()
    chunks = [(0.1 * n, line) for n, line in enumerate(before[:-1])]
    chunks.append((1.1, held[len(b"".join(before[:-1])) : cut]))
    chunks.append((1.1 + pause_s, after[lost:]))
    grams = [reading.grams for t_s, data in chunks for reading in decoder.feed(data, t_s)]
    assert set(grams) <= {float(line) for line in sent}
