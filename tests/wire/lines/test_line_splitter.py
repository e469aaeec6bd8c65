"""Any cut of the bytes gives the same lines, and no more than one line is held."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pourcoach.wire.lines.line_splitter import LONGEST_LINE, LineSplitter


def test_lf_cr_and_both_end_a_line() -> None:
    assert LineSplitter().feed(b"a\nb\rc\r\n\n\nd") == [b"a", b"b", b"c"]


def test_an_overlong_line_is_left_out_and_the_next_one_read() -> None:
    splitter = LineSplitter()
    assert splitter.feed(b"x" * 1000) == [None]
    assert splitter.feed(b"x" * 1000 + b"\n12.3\n") == [b"12.3"]


@given(st.binary(max_size=600), st.lists(st.integers(0, 600), max_size=8))
def test_chunking_changes_nothing(data: bytes, cuts: list[int]) -> None:
    whole, cut = LineSplitter(), LineSplitter()
    lines = []
    edges = [0, *sorted(cuts), len(data)]
    for begin, end in pairwise(edges):
        lines += cut.feed(data[begin:end])
        assert len(cut._rest) <= LONGEST_LINE
    assert lines == whole.feed(data)
