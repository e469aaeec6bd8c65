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


def with_(**changes: object) -> str:
    whole = json.loads(write_captures([BY_RADIO]))
    return json.dumps(whole | changes)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        with_(pourcoach_capture=2),
        with_(sources=None),
        with_(sources=[{}]),
        with_(sources=[1]),
    ],
)
def test_what_is_no_capture_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="no capture of a scale"):
        read_captures(text)
