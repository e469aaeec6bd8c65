"""Brews are entered in the library: at their end, or at the next start."""

import sqlite3
from pathlib import Path

import pytest

from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Brew
from pourcoach.places import tapes_folder
from pourcoach.recordings.spare import Spare
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter
from pourcoach.session.kept import keeping
from pourcoach.session.kept.keeping import Keeping, remember, take_up, take_up_lost_brews
from tests.tui.made_frames import make_frame

MORNING = "2026-01-15T09:30:00+00:00"
TAP = Fact(FactKind.WATER, "tap", MORNING)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    monkeypatch.setattr(keeping, "spare_folders", lambda: [Spare(tmp_path / "spare")])
    return tmp_path


def brewed(path: Path) -> Keeping:
    header = TapeHeader(recorded_at=MORNING, by="Ada")
    with TapeWriter(path, header, words=[TAP]) as tape:
        tape.append(Reading(0.1, 0.0))
    return Keeping(tape, header, learns=False)


def kept() -> list[Brew]:
    with Library(library_path()) as library:
        return find_brews(library)


def test_a_brew_whose_program_was_killed_is_entered_at_the_next_start() -> None:
    tape = TapeWriter(tapes_folder() / "a.jsonl", TapeHeader(recorded_at=MORNING, by="Ada"))
    tape.append(Reading(0.1, 0.0))
    take_up_lost_brews()
    assert kept() == []  # It may be brewing still.
    tape.close()
    take_up_lost_brews()
    assert [(brew.tape, brew.by, brew.recorded_at) for brew in kept()] == [
        (tapes_folder() / "a.jsonl", "Ada", MORNING)
    ]


def test_a_tape_kept_elsewhere_whose_program_was_killed_is_entered_with_its_water(
    home: Path,
) -> None:
    path = home / "desk" / "a.jsonl"
    tape = TapeWriter(path, TapeHeader(recorded_at=MORNING, by="Ada"), words=[TAP])
    remember(path)
    tape.append(Reading(0.1, 0.0))
    take_up_lost_brews()
    assert kept() == []  # It may be brewing still, and is remembered.
    tape.close()
    take_up_lost_brews()
    assert [(brew.tape, brew.water) for brew in kept()] == [(path, "tap")]
    take_up_lost_brews()
    assert len(kept()) == 1


def test_a_list_of_brews_takes_up_what_was_left(home: Path) -> None:
    path = home / "desk" / "a.jsonl"
    brewed(path)
    remember(path)
    with Library(library_path()) as library:
        take_up(library)
        assert [brew.tape for brew in find_brews(library)] == [path]


def test_a_brew_is_entered_with_the_water_that_was_poured() -> None:
    brewed(tapes_folder() / "a.jsonl").keep(make_frame(1.0))
    assert [brew.water for brew in kept()] == ["tap"]


def test_a_tape_in_a_spare_folder_is_fetched_and_entered(home: Path) -> None:
    brewed(home / "spare" / "pourcoach-rescued-a.jsonl")
    take_up_lost_brews()
    assert [brew.tape for brew in kept()] == [tapes_folder() / "a.jsonl"]


def test_a_brew_that_a_locked_library_refused_is_entered_later_with_its_water(home: Path) -> None:
    kept()
    brew = brewed(home / "anywhere" / "a.jsonl")
    with sqlite3.connect(library_path()) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(WorkError, match="another program is writing"):
            brew.keep(make_frame(1.0))
    other.close()
    assert kept() == []
    take_up_lost_brews()
    take_up_lost_brews()
    (found,) = kept()
    assert (found.tape, found.water) == (home / "anywhere" / "a.jsonl", "tap")


def test_what_is_no_tape_is_passed_over() -> None:
    brewed(tapes_folder() / "a.jsonl")
    (tapes_folder() / "b.jsonl").write_text("no tape")
    take_up_lost_brews()
    assert [brew.tape.name for brew in kept()] == ["a.jsonl"]


def test_nothing_is_made_where_nothing_was_brewed() -> None:
    take_up_lost_brews()
    assert not library_path().exists()


def test_a_library_that_is_none_keeps_nobody_from_brewing() -> None:
    brewed(tapes_folder() / "a.jsonl")
    library_path().write_text("no library at all, but long enough to look like a file of one")
    take_up_lost_brews()
