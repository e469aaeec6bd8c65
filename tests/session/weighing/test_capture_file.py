"""A capture comes back as it was written, and what is none says so."""

import json

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.session.weighing.capture_file import read_captures, write_captures
from pourcoach.session.weighing.describing import HeardCapture
from pourcoach.wire.description import Gatt, Transport
from pourcoach.wire.unknown.capture import Capture

OFF, ON, AGAIN, BELOW = ((0.1, b"\x00\xff"),), ((2.0, b"w1"), (2.1, b"")), ((4.0, b"x"),), ()
BY_CABLE = HeardCapture(Capture(200.0, OFF, ON, AGAIN, BELOW), None)
BY_RADIO = HeardCapture(
    Capture(100.5, OFF, ON, AGAIN, ((9.0, b"\x80"),), Transport.BLE), Gatt("service", "notify")
)


@pytest.mark.parametrize("heard", [[], [BY_CABLE], [BY_RADIO, BY_CABLE]])
def test_what_was_heard_comes_back(heard: list[HeardCapture]) -> None:
    assert read_captures(write_captures(heard)) == heard


def source(**changes: object) -> object:
    return json.loads(write_captures([BY_RADIO]))["sources"][0] | changes


def with_(**changes: object) -> str:
    whole = json.loads(write_captures([BY_RADIO]))
    return json.dumps(whole | changes)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "this is no capture of a scale: it is no JSON"),
        ("[]", r"the capture of a scale is \[\]"),
        ("{}", "this is no capture of a scale; make one with"),
        (with_(pourcoach_capture=2), "pourcoach_capture is 2"),
        (with_(sources=None), "sources is None"),
        (with_(sources=[{}]), r"sources\[1\]\.off has what is no chunk"),
        (with_(sources=[1]), r"sources\[1\] is 1; make it a table"),
        (with_(sources=[source(off=[[0.0, "zz"]])]), r"sources\[1\]\.off has what is"),
        (with_(sources=[source(known_g="1")]), r"sources\[1\]\.known_g is '1'"),
        (with_(sources=[source(transport="post")]), "transport is 'post'; use one of "),
    ],
)
def test_what_is_no_capture_is_refused(text: str, why: str) -> None:
    with pytest.raises(UsageError, match=why):
        read_captures(text)
