"""A pseudo-terminal with a fake scale on it; a fake Bluetooth service on a private bus."""

from collections.abc import AsyncIterator, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.scales.fake_serial import FakeSerialScale

if TYPE_CHECKING:
    from tests.scales.fake_bluez import FakeBlueZ, PrivateBus


@pytest.fixture(autouse=True)
def own_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Names, descriptions and calibrations of whoever runs the tests are none of theirs."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))


@pytest.fixture
def fake_scale(tmp_path: Path) -> Iterator[FakeSerialScale]:
    scale = FakeSerialScale(tmp_path / "ttyFAKE0")
    scale.plug()
    yield scale
    scale.unplug()


@pytest.fixture
async def bus(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator["PrivateBus"]:
    """A message bus of its own in the system bus's place."""
    from tests.scales.fake_bluez import PrivateBus

    bus = PrivateBus(tmp_path)
    await bus.start()
    monkeypatch.setenv("DBUS_SYSTEM_BUS_ADDRESS", bus.address)
    yield bus
    await bus.stop()


@pytest.fixture
async def bluez(bus: "PrivateBus") -> AsyncIterator["FakeBlueZ"]:
    """A Bluetooth service with one adapter and no device in sight."""
    from tests.scales.fake_bluez import FakeBlueZ

    bluez = FakeBlueZ(bus.address)
    await bluez.start()
    yield bluez
    await bluez.stop()
