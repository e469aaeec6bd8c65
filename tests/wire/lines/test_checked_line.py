"""The checked line: every field, every fault."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.wire.checksum import crc16_ccitt_false
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.lines.checked_line import AboutLine, CheckedLine, looks_checked, parse_checked
from tests.wire.scale_lines import encode_about, encode_checked, encode_counts


def sealed(body: bytes) -> bytes:
    return body + b"*%04x" % crc16_ccitt_false(body)


def test_one_line_byte_for_byte() -> None:
    # The CRC was worked out bit by bit beside this: 0x1021, start 0xFFFF, over "w,7,1200,12.34".
    assert (
        encode_checked(7, 1200, 12.34)
        == b"w,7,1200,12.34*" + bitwise_crc(b"w,7,1200,12.34") + b"\n"
    )


def bitwise_crc(data: bytes) -> bytes:
    register = 0xFFFF
    for byte in data:
        register ^= byte << 8
        for _ in range(8):
            register = (register << 1) ^ (0x1021 if register & 0x8000 else 0)
            register &= 0xFFFF
    return b"%04X" % register


@pytest.mark.parametrize(
    ("line", "parsed"),
    [
        (sealed(b"w,0,0,0"), CheckedLine(0, 0, 0.0)),
        (sealed(b"w,7,1200,-12.34"), CheckedLine(7, 1200, -12.34)),
        (sealed(b"w,7,1200,+12.34"), CheckedLine(7, 1200, 12.34)),
        (sealed(b"w,7,1200,12.3,4.1,4.1,4.1"), CheckedLine(7, 1200, 12.3, (4.1, 4.1, 4.1))),
        (sealed(b"c,7,1200,-8388608"), CheckedLine(7, 1200, -8388608.0, raw=True)),
        (sealed(b"a,name=bench,rate_hz=80"), AboutLine({"name": "bench", "rate_hz": "80"})),
        (sealed(b"w,7,1200"), DropReason.MALFORMED),
        (sealed(b"w,-7,1200,1"), DropReason.MALFORMED),
        (sealed(b"w,7,1200,nan"), DropReason.MALFORMED),
        (sealed(b"w,7,1200,1e3"), DropReason.MALFORMED),
        (sealed(b"w,7,1200,"), DropReason.MALFORMED),
        (sealed(b"w,7,1200,500000"), DropReason.OUT_OF_RANGE),
        (b"w,7,1200,12.34*0000", DropReason.CHECKSUM),
        (b"w,7,1200,12.34", DropReason.CHECKSUM),
        (b"0,12.34*29B1", DropReason.CHECKSUM),
    ],
)
def test_lines(line: bytes, parsed: object) -> None:
    assert looks_checked(line)
    assert parse_checked(line) == parsed


@given(
    st.integers(0, 2**32 - 1),
    st.integers(0, 2**32 - 1),
    st.lists(st.floats(-9000, 9000).map(lambda grams: round(grams, 2)), min_size=1, max_size=5),
)
def test_what_is_encoded_is_read_back(sequence: int, ms: int, weights: list[float]) -> None:
    line = encode_checked(sequence, ms, weights[0], weights[1:]).rstrip()
    assert parse_checked(line) == CheckedLine(sequence, ms, weights[0], tuple(weights[1:]))


def test_counts_and_about_are_read_back() -> None:
    assert parse_checked(encode_counts(1, 2, [30, 10, 20]).rstrip()) == CheckedLine(
        1, 2, 30.0, (10.0, 20.0), raw=True
    )
    facts = {"name": "bench scale", "cells": "1"}
    assert parse_checked(encode_about(facts).rstrip()) == AboutLine(facts)


@given(st.integers(0, 2**16), st.integers(0, 10**6), st.integers(0, 30), st.integers(1, 255))
def test_one_wrong_byte_is_always_seen(sequence: int, ms: int, place: int, flip: int) -> None:
    line = bytearray(encode_checked(sequence, ms, 123.45).rstrip())
    place %= len(line)
    line[place] ^= flip
    parsed = parse_checked(bytes(line))
    # A CRC digit in the other case is the same digit.
    assert isinstance(parsed, DropReason) or flip == 0x20
