"""What is known of one connection from what it brought."""

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.scales.link.connection_reader import ConnectionReader
from tests.scales.link.test_supervised import FakeConnector


@pytest.mark.parametrize(
    ("sent", "lasted_s", "proven"),
    [
        (b"12.3\r\n12.4\r\n", 5.0, True),
        (b"12.3\r\n12.4\r\n", 4.9, False),
        (b"", 5.0, False),
    ],
)
async def test_only_what_gave_readings_and_lasted_is_proven(
    sent: bytes, lasted_s: float, proven: bool
) -> None:
    taken: list[Reading] = []
    reader = ConnectionReader(FakeConnector(), taken.extend)
    reader.on_bytes(sent, 0.0)
    assert reader.proven(lasted_s, 5.0) is proven
