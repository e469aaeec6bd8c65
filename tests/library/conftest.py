"""A library and tapes of their own for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from pourcoach.library.library import Library, library_path


@pytest.fixture
def tapes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of tapes, not made yet."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    return tmp_path / "home" / "tapes"


@pytest.fixture
def library(tapes: Path) -> Iterator[Library]:
    assert not tapes.exists()
    with Library(library_path()) as library:
        yield library
