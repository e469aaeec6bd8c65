"""A broker of its own for each test, and no long waits between attempts."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from pourcoach.sharing.room import Room
from tests.sharing.mosquitto import Mosquitto


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Mosquitto]:
    broker = Mosquitto(tmp_path)
    broker.start()
    yield broker
    broker.kill()


@pytest.fixture
def room(broker: Mosquitto) -> Room:
    return Room.parse(broker.address())


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Attempts follow one another at once."""
    monkeypatch.setattr("pourcoach.sharing.broker.FIRST_WAIT_S", 0.05)
    monkeypatch.setattr("pourcoach.sharing.broker.LONGEST_WAIT_S", 0.1)
    monkeypatch.setattr("pourcoach.sharing.sharer.ANSWER_WITHIN_S", 0.2)
    monkeypatch.setattr("pourcoach.sharing.sharer.LONGEST_ANSWER_S", 0.4)
