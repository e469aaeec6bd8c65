"""Commands run in a home of their own, so that no test sees or leaves anything of the user's."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "home"
    monkeypatch.setenv("POURCOACH_HOME", str(folder))
    return folder
