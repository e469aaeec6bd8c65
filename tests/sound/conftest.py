from pathlib import Path

import pytest

from tests.sound.fake_player import FakePlayer


@pytest.fixture
def player(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> FakePlayer:
    folder = tmp_path / "programs"
    folder.mkdir()
    return FakePlayer(folder, monkeypatch)
