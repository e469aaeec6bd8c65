"""Tapes deleted, moved, copied, changed and put back by hand: each is seen, and nothing is lost."""

import os
from pathlib import Path

import pytest

from pourcoach.domain.afterwards import Remark, RemarkKind
from pourcoach.domain.inputs import Reading
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import Library
from pourcoach.library.looking import look_through
from pourcoach.library.records import Taken
from pourcoach.library.saying import say
from pourcoach.recordings.contents import contents_of
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter
from tests.library.made_tapes import NOON, make_tape

NOTE = Remark(RemarkKind.NOTE, "plum", NOON)


@pytest.fixture
def noted(library: Library, tapes: Path) -> Path:
    """One tape with a note on it, entered and looked at."""
    tape = make_tape(tapes / "a.jsonl", by="Ada")
    look_through(library)
    (brew,) = find_brews(library)
    assert say(library, brew.number, [NOTE]) is None
    assert look_through(library) == Taken()
    return tape


def only(library: Library) -> tuple[Path, bool, tuple[Remark, ...]]:
    (brew,) = find_brews(library)
    return brew.tape, brew.is_missing, open_brew(library, brew.number).remarks


def test_a_new_tape_is_entered_once(library: Library, tapes: Path) -> None:
    tape = make_tape(tapes / "below" / "a.jsonl")
    assert look_through(library).new == [tape]
    assert look_through(library) == Taken()


def test_a_tape_that_is_deleted_keeps_what_was_known(noted: Path, library: Library) -> None:
    data = noted.read_bytes()
    noted.unlink()
    assert look_through(library).missing == [noted]
    assert look_through(library) == Taken()
    assert only(library) == (noted, True, (NOTE,))
    later = Remark(RemarkKind.NOTE, "said while it was gone", NOON)
    (brew,) = find_brews(library)
    why = say(library, brew.number, [later])
    assert why is not None
    assert why.startswith("it is kept in the library, and not yet on the recording")
    noted.write_bytes(data)
    assert look_through(library).back == [noted]
    assert only(library) == (noted, False, (NOTE, later))
    assert len(contents_of(noted).said) == 2


def test_a_tape_that_is_moved_is_the_same_brew(noted: Path, library: Library) -> None:
    moved = noted.with_name("renamed.jsonl")
    noted.rename(moved)
    assert look_through(library).moved == [(noted, moved)]
    assert only(library) == (moved, False, (NOTE,))


def test_a_tape_that_is_copied_is_the_same_brew(noted: Path, library: Library) -> None:
    copy = noted.with_name("copy.jsonl")
    copy.write_bytes(noted.read_bytes())
    assert look_through(library).copies == [(copy, noted)]
    assert look_through(library) == Taken()
    assert only(library) == (noted, False, (NOTE,))
    noted.unlink()
    assert look_through(library) == Taken()
    assert only(library) == (copy, False, (NOTE,))


def test_a_note_on_a_copy_alone_comes_to_the_first(noted: Path, library: Library) -> None:
    copy = noted.with_name("copy.jsonl")
    copy.write_bytes(noted.read_bytes().replace(b"plum", b"pear"))
    look_through(library)
    assert [remark.text for remark in only(library)[2]] == ["plum", "pear"]
    assert len(contents_of(noted).said) == 2


def test_a_note_that_is_taken_off_the_tape_is_gone(noted: Path, library: Library) -> None:
    lines = noted.read_bytes().splitlines(keepends=True)
    noted.write_bytes(b"".join(lines[:-1]))
    look_through(library)
    assert only(library) == (noted, False, ())


def test_another_brew_under_the_same_name_is_another(noted: Path, library: Library) -> None:
    noted.unlink()
    make_tape(noted, "2026-02-01T09:00:00+00:00", grams=5.0)
    assert look_through(library).new == [noted]
    new, old = find_brews(library)
    assert (new.is_missing, old.is_missing) == (False, True)
    assert open_brew(library, old.number).remarks == (NOTE,)


def test_a_tape_that_went_on_is_the_same_brew(library: Library, tapes: Path) -> None:
    tape = make_tape(tapes / "a.jsonl", ended=False)
    look_through(library)
    with tape.open("ab") as file:
        file.write(b"[0.3, 7.0]\n")
    look_through(library)
    assert len(find_brews(library)) == 1


def test_what_is_no_tape_is_named_once(library: Library, tapes: Path) -> None:
    make_tape(tapes / "a.jsonl")
    (tapes / "b.jsonl").write_text("no tape")
    ((path, why),) = look_through(library).refused
    assert (path.name, "is no recording" in why) == ("b.jsonl", True)
    assert look_through(library) == Taken()
    assert len(find_brews(library)) == 1


def test_a_tape_being_recorded_is_left_until_it_is_done(library: Library, tapes: Path) -> None:
    with TapeWriter(tapes / "a.jsonl", TapeHeader(), spares=()) as writer:
        writer.append(Reading(0.1, 0.0))
        assert look_through(library) == Taken()
    assert len(look_through(library).new) == 1


def test_a_tape_elsewhere_is_looked_at_where_it_is(library: Library, tmp_path: Path) -> None:
    tape = make_tape(tmp_path / "elsewhere.jsonl")
    enter_tape(library, tape)
    assert look_through(library) == Taken()
    tape.unlink()
    assert look_through(library).missing == [tape]


def test_a_library_is_the_same_made_anew_of_its_tapes(
    noted: Path, library: Library, tmp_path: Path
) -> None:
    assert noted.is_file()
    before = only(library), find_brews(library)[0].id
    with Library(tmp_path / "new.sqlite3") as new:
        look_through(new)
        assert (only(new), find_brews(new)[0].id) == before


@pytest.mark.skipif(os.name != "posix", reason="as POSIX systems keep files")
def test_a_tape_for_reading_only_is_copied_to_be_noted_on(
    library: Library, tmp_path: Path, tapes: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tape = make_tape(tmp_path / "stick" / "a.jsonl")
    monkeypatch.setattr("pourcoach.library.saying.shipped_folder", lambda: tape.parent)
    number = enter_tape(library, tape).number
    before = tape.read_bytes()
    assert say(library, number, [NOTE]) is None
    assert only(library) == (tapes / "a.jsonl", False, (NOTE,))
    assert tape.read_bytes() == before
    look_through(library)
    assert [path.name for path in tapes.iterdir()] == ["a.jsonl"]


def test_a_look_may_leave_the_rest_for_the_next(library: Library, tapes: Path) -> None:
    for number in range(5):
        make_tape(tapes / f"{number}.jsonl", grams=number)
    found = [len(look_through(library, 2).new) for _ in range(4)]
    assert found == [2, 2, 1, 0]


def test_a_data_folder_that_was_copied_keeps_to_its_own_tapes(
    library: Library, tapes: Path, tmp_path: Path
) -> None:
    """Its library names the tapes that it was copied from, which are there still."""
    from_there = make_tape(tmp_path / "before" / "a.jsonl")
    enter_tape(library, from_there)
    here = tapes / "a.jsonl"
    here.parent.mkdir(parents=True)
    here.write_bytes(from_there.read_bytes())
    look_through(library)
    before = from_there.read_bytes()
    (brew,) = find_brews(library)
    assert brew.tape == here
    assert say(library, brew.number, [NOTE]) is None
    assert from_there.read_bytes() == before


def test_a_folder_is_looked_into_whatever_its_name(library: Library, tapes: Path) -> None:
    inner = make_tape(tapes / "course.jsonl" / "a.jsonl")
    (tapes / "nowhere.jsonl").symlink_to(tapes / "none")
    (tapes / "round").symlink_to(tapes)
    assert look_through(library).new == [inner]
