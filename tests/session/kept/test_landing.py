"""Recordings that arrive from other machines."""

import hashlib
from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.places import data_folder, tapes_folder
from pourcoach.session.kept.landing import has_landed, land

TAPE = b'{"pourcoach": 1, "recorded_at": "2026-01-15T09:30:00+00:00", "by": "Ada"}\n[0.1, 0.0]\n'
HASH = hashlib.sha256(TAPE).hexdigest()


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def test_it_lands_once_and_is_in_the_library() -> None:
    assert not has_landed(HASH)
    for _ in range(2):
        land("1", HASH, TAPE)
    assert has_landed(HASH)
    (path,) = tapes_folder().iterdir()
    assert path.read_bytes() == TAPE
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
    assert (brew.by, brew.recorded_at) == ("Ada", "2026-01-15T09:30:00+00:00")
    assert list((data_folder() / "arriving").iterdir()) == []


@pytest.mark.parametrize("content", [b"", b"x", b"[1]\n", b'{"pourcoach": 99}\n', b"\xff"])
def test_what_is_no_recording_leaves_nothing_behind(content: bytes) -> None:
    with pytest.raises(UsageError):
        land("1", HASH, content)
    assert not tapes_folder().exists()


def test_a_time_from_outside_makes_no_path_of_its_own() -> None:
    evil = b'{"pourcoach": 1, "recorded_at": "../../2026-01-15/x"}\n[0.1, 0.0]\n'
    land("1", hashlib.sha256(evil).hexdigest(), evil)
    assert len(list(tapes_folder().iterdir())) == 1
