"""Which recording a name means."""

from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.library.brews import find_brews
from pourcoach.library.importing import import_tapes
from pourcoach.library.library import Library, library_path
from pourcoach.library.looking import look_through
from pourcoach.places import tapes_folder
from pourcoach.recordings.shipped import shipped_folder
from pourcoach.session.kept.tape import recording_called
from tests.library.made_tapes import make_tape


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A brew that is kept, whose file has a name of no meaning."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    tape = make_tape(tapes_folder() / "morning" / "2026-01-15.jsonl", by="Ada")
    with Library(library_path()) as library:
        import_tapes(library, [tape])
    return tape


def id_of_the_brew() -> str:
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
        return brew.id


def test_a_kept_brew_is_found_by_its_id() -> None:
    assert recording_called(id_of_the_brew()).is_file()


def test_one_that_is_gone_says_where_it_was(kept: Path) -> None:
    name = id_of_the_brew()
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
        brew.tape.unlink()
        kept.unlink(missing_ok=True)
        look_through(library)
    with pytest.raises(WorkError, match=f"the recording of {name} is gone: .*; put it back"):
        recording_called(name)


def test_one_that_comes_with_the_program_is_found_by_its_name() -> None:
    folder = shipped_folder()
    assert folder is not None
    assert recording_called("stall") == folder / "stall.jsonl"


def test_what_is_none_of_these_is_refused() -> None:
    with pytest.raises(WorkError, match="there is no file nothing-such; name a recording"):
        recording_called("nothing-such")
