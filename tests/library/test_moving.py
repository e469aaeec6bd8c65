"""Brews imported, deleted, restored, exported, renamed and erased."""

import json
import os
import sqlite3
import stat
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.domain.afterwards import Fact, FactKind, Remark, RemarkKind, Tag
from pourcoach.domain.errors import WorkError
from pourcoach.library.bin import bin_folder, empty_bin, put_in_bin, restore
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.entering import enter_tape
from pourcoach.library.erasing import erase_person
from pourcoach.library.exporting import export_person
from pourcoach.library.importing import import_tapes
from pourcoach.library.judged import keep_judgement
from pourcoach.library.library import Library
from pourcoach.library.looking import look_through
from pourcoach.library.people import learn_reaction, people, person_called
from pourcoach.library.practice_log import judging_log, log_practice
from pourcoach.library.records import Judgement, Search, Taken
from pourcoach.library.renaming import rename_person
from pourcoach.library.saying import say
from pourcoach.recordings.contents import contents_of
from pourcoach.recordings.tape import header_of
from tests.library.made_tapes import NOON, make_tape

NOTE = Remark(RemarkKind.NOTE, "Ada's plum; adamant", NOON)


def test_each_content_is_imported_once(library: Library, tapes: Path, tmp_path: Path) -> None:
    make_tape(tmp_path / "stick" / "a.jsonl")
    make_tape(tmp_path / "stick" / "below" / "a.jsonl", grams=1.0)
    (tmp_path / "stick" / "copy.jsonl").write_bytes((tmp_path / "stick/a.jsonl").read_bytes())
    (tmp_path / "stick" / "bad.jsonl").write_text("no tape")
    (tmp_path / "stick" / "notes.txt").write_text("left alone")
    done = import_tapes(library, [tmp_path / "stick", tmp_path / "nothing.jsonl"], "Ada")
    assert (len(done.new), len(done.known), len(done.refused)) == (2, 1, 2)
    again = import_tapes(library, [tmp_path / "stick"], "Bo")
    assert (len(again.new), len(again.known), len(again.refused)) == (0, 3, 1)
    assert [brew.by for brew in find_brews(library)] == ["Ada", "Ada"]
    copies = sorted(path.name for path in tapes.iterdir())
    assert copies == ["a-2.jsonl", "a.jsonl"]
    assert {stat.S_IMODE(path.stat().st_mode) for path in tapes.iterdir()} == {0o600}
    assert look_through(library) == Taken()


def test_what_a_second_import_says_more_is_added(
    library: Library, tapes: Path, tmp_path: Path
) -> None:
    stick = make_tape(tmp_path / "stick" / "a.jsonl")
    import_tapes(library, [stick])
    with Library(tmp_path / "other.sqlite3") as other:
        say(other, enter_tape(other, stick).number, [NOTE])
    assert len(import_tapes(library, [stick]).known) == 1
    (brew,) = find_brews(library)
    assert open_brew(library, brew.number).remarks == (NOTE,)
    assert len(contents_of(tapes / "a.jsonl").said) == 1


def test_an_undated_tape_keeps_the_date_of_its_file(library: Library, tmp_path: Path) -> None:
    stick = make_tape(tmp_path / "stick" / "a.jsonl", recorded_at="")
    os.utime(stick, (1_760_000_000, 1_760_000_000))
    import_tapes(library, [stick])
    (brew,) = find_brews(library)
    assert brew.recorded_at.startswith("2025-10-09")


def test_a_deleted_brew_is_in_the_bin_until_it_is_emptied(library: Library, tapes: Path) -> None:
    tape = make_tape(tapes / "below" / "a.jsonl")
    look_through(library)
    brews = find_brews(library)
    put_in_bin(library, brews)
    assert (find_brews(library), tape.exists()) == ([], False)
    assert look_through(library) == Taken()
    (binned,) = find_brews(library, Search(binned=True))
    restore(library, [binned])
    assert [brew.tape for brew in find_brews(library)] == [tape]
    put_in_bin(library, find_brews(library))
    assert empty_bin(library) == 1
    assert (list(bin_folder().iterdir()), find_brews(library, Search(binned=True))) == ([], [])
    assert look_through(library) == Taken()


def test_the_bin_is_known_again_by_a_library_made_anew(
    library: Library, tapes: Path, tmp_path: Path
) -> None:
    make_tape(tapes / "a.jsonl")
    look_through(library)
    put_in_bin(library, find_brews(library))
    with Library(tmp_path / "new.sqlite3") as new:
        look_through(new)
        assert (len(find_brews(new)), len(find_brews(new, Search(binned=True)))) == (0, 1)


def test_importing_a_deleted_brew_takes_it_back(
    library: Library, tapes: Path, tmp_path: Path
) -> None:
    stick = make_tape(tmp_path / "stick" / "a.jsonl")
    import_tapes(library, [stick])
    put_in_bin(library, find_brews(library))
    assert len(import_tapes(library, [stick]).new) == 1
    assert [brew.tape for brew in find_brews(library)] == [tapes / "a.jsonl"]


def test_a_tape_elsewhere_is_not_touched_by_deleting_its_brew(
    library: Library, tmp_path: Path
) -> None:
    tape = make_tape(tmp_path / "elsewhere.jsonl")
    enter_tape(library, tape)
    put_in_bin(library, find_brews(library))
    assert (find_brews(library), tape.exists()) == ([], True)
    empty_bin(library)
    assert (look_through(library), tape.exists()) == (Taken(), True)


def test_all_of_a_person_is_exported_and_can_be_imported(
    library: Library, tapes: Path, tmp_path: Path
) -> None:
    make_tape(tapes / "a.jsonl", by="Ada")
    make_tape(tapes / "b.jsonl", by="Bo")
    look_through(library)
    learn_reaction(library, "Ada", 0.3)
    (brew,) = find_brews(library, Search(by="Ada"))
    say(library, brew.number, [NOTE, Tag("exam", NOON)])
    for name in ("Ada", "Bo"):
        log_practice(judging_log(), name, datetime(2026, 3, 2, 12, tzinfo=UTC), {"grades": []})
    out = tmp_path / "out"
    assert export_person(library, "ada", out) == (1, [])
    (line,) = (out / "brews.jsonl").read_text(encoding="utf-8").splitlines()
    entry = json.loads(line)
    assert (entry["by"], entry["tags"], entry["recording"]) == ("Ada", ["exam"], "tapes/a.jsonl")
    assert entry["remarks"] == [{"kind": "note", "text": NOTE.text, "made_at": NOON}]
    person = json.loads((out / "person.json").read_text())
    practice = [{"by": "Ada", "at": "2026-03-02T12:00:00+00:00", "grades": []}]
    assert person == {"name": "Ada", "reaction_s": 0.3, "practice": practice}
    modes = {stat.S_IMODE(path.stat().st_mode) for path in out.rglob("*")}
    assert modes == {0o600, 0o700}
    with pytest.raises(WorkError, match="is there already"):
        export_person(library, "Ada", out)
    with pytest.raises(WorkError, match="nobody in the library is called 'Cy'; there are Ada, Bo"):
        export_person(library, "Cy", tmp_path / "cy")
    with Library(tmp_path / "new.sqlite3") as new:
        import_tapes(new, [out])
        (again,) = find_brews(new)
        assert (again.id, again.by, again.tags) == (brew.id, "Ada", ("exam",))


def test_a_person_is_renamed_on_every_tape(library: Library, tapes: Path, tmp_path: Path) -> None:
    make_tape(tapes / "a.jsonl", by="Adda")
    make_tape(tapes / "b.jsonl", by="Ada", grams=1.0)
    look_through(library)
    learn_reaction(library, "Adda", 0.4)
    assert rename_person(library, "Adda", "Ada") == 1
    assert [person.name for person, _ in people(library)] == ["Ada"]
    with Library(tmp_path / "new.sqlite3") as new:
        look_through(new)
        assert {brew.by for brew in find_brews(new)} == {"Ada"}


def everything_in(folder: Path) -> str:
    """All bytes of all files below, with all names of files, as text."""
    parts = []
    for path in sorted(folder.rglob("*")):
        parts.append(path.name)
        if path.is_file():
            parts.append(path.read_bytes().decode("utf-8", "replace"))
    return "\n".join(parts).casefold()


def test_nothing_names_a_person_who_was_erased(library: Library, tapes: Path) -> None:
    """Not the tapes, packed or not, nor the library's free pages, the bin or names of files."""
    make_tape(tapes / "zadok-1.jsonl", by="Zadok")
    make_tape(tapes / "b.jsonl", by="Bo", grams=1.0)
    make_tape(tapes / "c.jsonl", by="Zadok", grams=2.0)
    make_tape(tapes / "given.jsonl", grams=3.0)
    look_through(library)
    brews = {brew.tape.stem: brew for brew in find_brews(library)}
    note = Remark(RemarkKind.NOTE, "as ZADOK said, zadoks", NOON)
    say(library, brews["b"].number, [note, Fact(FactKind.TITLE, "beat Zadok", NOON)])
    say(library, brews["given"].number, [Fact(FactKind.BY, "zadok", NOON)])
    figures = {"by": "Zadok", "moments": [{"text": "Zadok spilt"}], "flags": [], "headline": "X"}
    keep_judgement(library, brews["c"].number, Judgement("1", "r", figures, ()))
    learn_reaction(library, "Zadok", 0.3)
    put_in_bin(library, [brews["c"]])
    (tapes / "zadok-1-review.txt").write_text("note: Zadok spilt")
    (tapes / "b-review-2.html").write_text("<p>Zadok</p>")
    erased = erase_person(library, "zadok")
    assert (erased.brews, erased.tapes, erased.lost) == (3, 4, [])
    (tapes / "zadok-1-review.txt").rename(tapes / "review.txt")
    left = everything_in(tapes.parent).replace("zadoks", "")
    assert "zadok" not in left
    kept = {brew.by for brew in find_brews(library)}
    assert kept == {None, "Bo"}
    assert look_through(library) == Taken()
    (other,) = find_brews(library, Search(by="Bo"))
    assert other.title == "beat (erased)"
    # Others' words, and words that only begin alike, are left.
    assert open_brew(library, other.number).remarks[0].text == "as (erased) said, zadoks"


def test_a_person_renamed_is_erased_under_the_old_name_too(library: Library, tapes: Path) -> None:
    make_tape(tapes / "a.jsonl", by="Oldname")
    look_through(library)
    rename_person(library, "Oldname", "Newname")
    erase_person(library, "Newname")
    left = everything_in(tapes.parent)
    assert "oldname" not in left
    assert "newname" not in left


def test_erasing_says_which_tapes_were_gone(library: Library, tapes: Path) -> None:
    tape = make_tape(tapes / "a.jsonl", by="Ada")
    look_through(library)
    data = tape.read_bytes()
    tape.unlink()
    look_through(library)
    assert erase_person(library, "Ada").lost == [tape]
    assert person_called(library, "Ada") is None
    tape.write_bytes(data)
    look_through(library)
    assert header_of(tape).by == "Ada"
    assert erase_person(library, "Ada").tapes == 1


def test_two_brews_that_differ_only_in_the_name_become_one(library: Library, tapes: Path) -> None:
    make_tape(tapes / "a.jsonl", by="Ada")
    make_tape(tapes / "b.jsonl")
    look_through(library)
    erase_person(library, "Ada")
    assert len(find_brews(library)) == 1
    assert look_through(library) == Taken()


def test_the_tables_hold_what_they_are_named_for(library: Library) -> None:
    """For whoever asks the file with SQL of their own."""
    with closing(sqlite3.connect(library.path)) as connection:
        names = {
            name
            for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        }
    assert names >= {
        "brew",
        "person",
        "coffee",
        "water",
        "scale",
        "plan",
        "cup_note",
        "strength",
        "mark",
        "finding",
        "tag",
        "remark",
    }


def test_a_tape_that_cannot_be_taken_away_is_not_copied_into_the_bin(
    library: Library, tapes: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tape = make_tape(tapes / "a.jsonl")
    look_through(library)

    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises(WorkError, match="cannot be moved to"):
        put_in_bin(library, find_brews(library))
    assert (look_through(library), len(find_brews(library))) == (Taken(), 1)
    assert list(tapes.parent.rglob("*.jsonl*")) == [tape]
