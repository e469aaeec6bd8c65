"""A pseudo-terminal with a fake scale on it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.scales.fake_serial import FakeSerialScale


@pytest.fixture
def fake_scale(tmp_path: Path) -> Iterator[FakeSerialScale]:
    scale = FakeSerialScale(tmp_path / "ttyFAKE0")
    scale.plug()
    yield scale
    scale.unplug()
