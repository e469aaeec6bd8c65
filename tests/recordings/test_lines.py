"""A line and the input it means, both ways."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.inputs import (
    Begin,
    Finish,
    Input,
    Link,
    Mark,
    Note,
    Reading,
    SelfEstimate,
    Shown,
    Sight,
    Silence,
    Tare,
    Undo,
)
from pourcoach.domain.printable import LONGEST_REMARK, printable
from pourcoach.recordings.lines import LARGEST, LONGEST_S, decode, encode

CASES: list[tuple[Input, str]] = [
    (Reading(0.1042, 0.1), "[0.1042, 0.1]"),
    (Reading(0.2011, 0.1, device_s=81.2), '[0.2011, 0.1, {"device_s": 81.2}]'),
    (
        Reading(1.0, -0.5, sequence=7, corners_g=(0.1, 0.2), stable=False),
        '[1.0, -0.5, {"sequence": 7, "corners_g": [0.1, 0.2], "stable": false}]',
    ),
    (Tare(3.4), '{"t": 3.4, "input": "tare"}'),
    (Tare(3.4, by_scale=True), '{"t": 3.4, "input": "tare", "by_scale": true}'),
    (Note(9.1, "kettle swapped"), '{"t": 9.1, "note": "kettle swapped"}'),
    (
        Link(2.0, up=False, why="pulled"),
        '{"t": 2.0, "input": "link", "up": false, "why": "pulled"}',
    ),
    (Link(2.5, up=True), '{"t": 2.5, "input": "link", "up": true}'),
    (Silence(1.5), '{"t": 1.5, "input": "silence"}'),
    (Begin(1.5), '{"t": 1.5, "input": "begin"}'),
    (Finish(1.5), '{"t": 1.5, "input": "finish"}'),
    (Mark(1.5), '{"t": 1.5, "input": "mark"}'),
    (Undo(1.5), '{"t": 1.5, "input": "undo"}'),
    (SelfEstimate(9.0, 118.5), '{"t": 9.0, "input": "estimate", "value": 118.5}'),
    (Shown(1.0, Sight.HELP), '{"t": 1.0, "input": "shown", "what": "help"}'),
    (Shown(9.5, Sight.RESULT), '{"t": 9.5, "input": "shown", "what": "result"}'),
    (Shown(7.0, Sight.SERVER_FULL), '{"t": 7.0, "input": "shown", "what": "server-full"}'),
]


@pytest.mark.parametrize(("item", "line"), CASES)
def test_encode_gives_the_documented_line(item: Input, line: str) -> None:
    assert encode(item) == line


@pytest.mark.parametrize(("item", "line"), CASES)
def test_decode_gives_back_the_input(item: Input, line: str) -> None:
    assert decode(json.loads(line)) == item


def test_an_input_of_a_later_kind_is_passed_over() -> None:
    assert decode({"t": 1.0, "input": "hum", "pitch_hz": 3}) is None
    assert decode({"t": 1.0, "input": "shown", "what": "applause"}) is None


@pytest.mark.parametrize(
    ("data", "why"),
    [
        ([1.0], "needs a time and a weight"),
        ([1.0, "12"], "its weight is '12'"),
        ([1.0, float("nan")], "its weight is nan"),
        ([1.0, True], "its weight is True"),
        ([1.0, 1e300], "its weight is 1e\\+300"),
        ([10**400, 1.0], "its time is 1000"),
        ([1.0, 2.0, 3.0], "no object"),
        ([1.0, 2.0, {"corners_g": 4}], "no list"),
        ({"t": 1.0, "input": "estimate", "value": "much"}, "its value is 'much'"),
        ({"input": "tare"}, "its time is None"),
        ("text", "neither a reading nor an input"),
    ],
)
def test_decode_says_what_is_wrong(data: object, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        decode(data)


finite = st.floats(-LARGEST, LARGEST)
times = st.floats(-LONGEST_S, LONGEST_S)
said = st.text().map(lambda text: printable(text, LONGEST_REMARK))


@given(
    st.builds(
        Reading,
        t_s=times,
        grams=finite,
        device_s=st.none() | finite,
        sequence=st.none() | st.integers(0, 2**32),
        corners_g=st.lists(finite, max_size=4).map(tuple),
        stable=st.none() | st.booleans(),
    )
    | st.builds(Note, t_s=times, text=said)
)
def test_round_trip_is_exact(item: Input) -> None:
    assert decode(json.loads(encode(item))) == item
