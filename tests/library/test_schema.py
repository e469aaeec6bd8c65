"""A library made by the first schema that shipped becomes one of today's, and loses nothing."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from pourcoach.domain.afterwards import Remark, RemarkKind, StrengthReading
from pourcoach.library.brews import brew_on, find_brews, open_brew
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import Library
from pourcoach.library.looking import look_through
from pourcoach.library.people import person_called
from pourcoach.library.records import Person
from pourcoach.library.saying import say
from pourcoach.recordings.contents import contents_of
from tests.library.made_tapes import make_tape

# What the program of the first schema wrote, but for the folder that its tapes were in.
V1 = Path(__file__).with_name("library_v1.sql")
LATER = "2026-01-15T10:01:00+00:00"


@pytest.fixture
def old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    tapes = tmp_path / "tapes"
    make_tape(tapes / "a.jsonl", "2026-01-15T09:30:00+00:00", "Ada")
    make_tape(tapes / "b.jsonl", "2026-01-15T12:00:00+02:00", "Bo")
    make_tape(tapes / "c.jsonl", "2026-01-16T09:00:00+00:00")
    path = tmp_path / "library.sqlite3"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(V1.read_text(encoding="utf-8").replace("TAPES", str(tapes)))
    return path


def test_all_brews_of_an_old_library_are_there(old: Path) -> None:
    with Library(old) as library:
        brews = find_brews(library)
        assert [(brew.tape.stem, brew.by, brew.water) for brew in brews] == [
            ("c", None, None),
            ("b", "Bo", None),
            ("a", "Ada", "filtered"),
            ("gone", "Ada", None),
        ]
        assert person_called(library, "Ada") == Person("Ada", 0.31)


def test_what_only_the_old_library_held_is_put_on_the_tapes(old: Path) -> None:
    with Library(old) as library:
        taken = look_through(library)
        assert [path.stem for path in taken.missing] == ["gone"]
        assert (taken.new, taken.moved, taken.refused) == ([], [], [])
        kept = brew_on(library, old.parent / "tapes" / "a.jsonl")
        assert kept is not None
        opened = open_brew(library, kept.number)
    assert opened.strengths == (
        StrengthReading(0.0131, 0.0003, 272.0, "2026-01-15T10:00:00+00:00"),
    )
    assert opened.remarks == (
        Remark(RemarkKind.TASTE, "sour", LATER),
        Remark(RemarkKind.CHANGE, "finer", LATER),
        Remark(RemarkKind.NOTE, 'it\'s a "note" – naïve', LATER),
    )
    on_tape = contents_of(old.parent / "tapes" / "a.jsonl").said
    assert len(on_tape) == 5
    old.unlink()
    with Library(old) as library:
        look_through(library)
        again = open_brew(library, find_brews(library)[2].number)
    assert (again.remarks, again.strengths) == (opened.remarks, opened.strengths)
    assert again.brew.water == "filtered"


def test_what_was_said_of_a_missing_tape_waits_for_it(old: Path) -> None:
    with Library(old) as library:
        look_through(library)
        (gone,) = (brew for brew in find_brews(library) if brew.is_missing is True)
        assert (gone.tape.stem, gone.strength_percent) == ("gone", 1.2)
        back = make_tape(
            old.parent / "tapes" / "back.jsonl", "2026-01-14T08:00:00+00:00", "Ada", grams=3.0
        )
        taken = look_through(library)
        assert taken.back == [back]
        opened = open_brew(library, gone.number)
    assert (opened.brew.is_missing, opened.brew.tape) == (False, back)
    assert [remark.text for remark in opened.remarks] == ["sloped"]
    assert len(contents_of(back).said) == 2


def test_an_upgrade_that_fails_leaves_the_old_library(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: sqlite3.Connection) -> None:
        raise RuntimeError

    monkeypatch.setattr("pourcoach.library.library.describe_all", fail)
    with pytest.raises(RuntimeError):
        Library(old)
    with closing(sqlite3.connect(old)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (1,)
        assert connection.execute("SELECT count(*) FROM remark").fetchone() == (4,)


def test_what_the_fifth_schema_kept_of_beds_is_still_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    path = tmp_path / "library.sqlite3"
    look = Remark(RemarkKind.BED, "one side high", LATER)
    with Library(path) as library:
        tape = make_tape(tmp_path / "tapes" / "a.jsonl")
        say(library, enter_tape(library, tape).number, [look])
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(
            "DROP INDEX judgement_in_list; DROP INDEX said_off_tape;"
            "CREATE TABLE bed_look (id INTEGER PRIMARY KEY, brew_id INTEGER NOT NULL"
            " REFERENCES brew(id) ON DELETE CASCADE, made_at TEXT NOT NULL, look TEXT NOT NULL,"
            " text TEXT NOT NULL); CREATE INDEX bed_look_by_brew ON bed_look(brew_id);"
            f"INSERT INTO bed_look VALUES (1, 1, '{LATER}', 'one side high', '');"
            "PRAGMA user_version = 5;"
        )
    with Library(path) as library:
        (brew,) = find_brews(library)
        assert open_brew(library, brew.number).remarks == (look,)
