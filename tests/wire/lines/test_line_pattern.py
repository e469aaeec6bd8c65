"""Described lines: what matches, what is refused, and that no line takes long."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.errors import UsageError
from pourcoach.wire.description import LinePattern
from pourcoach.wire.lines.line_pattern import LineMatcher, MatchedLine


@pytest.mark.parametrize(
    ("pattern", "line", "matched"),
    [
        (LinePattern("{weight}"), b" 12.3 ", MatchedLine(12.3, None, None, None, None)),
        (LinePattern("{weight} {unit}"), b"-12.3kg", MatchedLine(-12.3, 1000.0, None, None, None)),
        (
            LinePattern("{stable},{skip},{sign} {weight} {unit}"),
            b"ST,GS,-  12.3 g",
            MatchedLine(-12.3, 1.0, True, None, None),
        ),
        (
            LinePattern("{stable},{skip},{weight}"),
            b"US,GS,+  12.3",
            MatchedLine(12.3, None, False, None, None),
        ),
        (
            LinePattern("{sequence};{ms};{weight};{skip}", decimal=","),
            b"17;1200;12,34;3,7 V",
            MatchedLine(12.34, None, None, 17, 1200),
        ),
        (LinePattern("({skip}) {weight}"), b"(a.b*) .5", MatchedLine(0.5, None, None, None, None)),
        (LinePattern("{weight} {unit}"), b"12.3 pcs", None),
        (LinePattern("{skip},{weight}"), b"12.3", None),
        (LinePattern("{weight}"), b"12.3 g", None),
        (LinePattern("{weight}"), b"\xff12.3", None),
    ],
)
def test_matching(pattern: LinePattern, line: bytes, matched: MatchedLine | None) -> None:
    assert LineMatcher(pattern).match(line) == matched


@pytest.mark.parametrize(
    ("template", "says"),
    [
        ("12.3", "no {weight}"),
        ("{weight", "brace"),
        ("{weight}{mass}", "no place 'mass'"),
        ("{weight} {weight}", "twice"),
        ("{skip}{weight}", "runs into"),
        ("{weight}" + ",{skip}" * 20, "more than"),
    ],
)
def test_templates_that_make_no_sense(template: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        LineMatcher(LinePattern(template))


def test_a_hostile_pattern_and_line_take_no_time() -> None:
    """With ordinary repetition this would be tried in some 10**13 ways."""
    matcher = LineMatcher(LinePattern("{skip} " * 14 + "{weight}"))
    began = time.process_time()
    assert matcher.match(b"a " * 70 + b"x") is None
    assert time.process_time() - began < 1.0


@given(st.binary(max_size=60))
def test_no_line_raises(line: bytes) -> None:
    matcher = LineMatcher(LinePattern("{stable},{sequence},{sign} {weight} {unit}"))
    assert matcher.match(line) is None or b"," in line
