"""The library on a real SQLite file."""

import os
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.library.library import Library
from pourcoach.library.records import Person, Remark, RemarkKind, StrengthReading

MORNING = "2026-01-15T09:30:00+00:00"
NOON = "2026-01-15T12:00:00+00:00"


def test_a_brew_is_kept_with_all_that_belongs_to_it(tmp_path: Path) -> None:
    tape = tmp_path / "a.jsonl"
    reading = StrengthReading(0.0131, 0.0003, 272.0, NOON)
    remark = Remark(RemarkKind.TASTE, "sour", NOON)
    path = tmp_path / "data" / "library.sqlite3"
    with Library(path) as library:
        library.keep_brew(tape, MORNING, "Ada")
        library.add_strength(tape, reading)
        library.add_remark(tape, remark)
        library.name_water(tape, "filtered")
    with Library(path) as library:
        (brew,) = library.brews()
    assert (brew.tape, brew.by, brew.water) == (tape.resolve(), "Ada", "filtered")
    assert (brew.strengths, brew.remarks) == ((reading,), (remark,))


def test_brews_come_newest_first_and_by_person(tmp_path: Path) -> None:
    with Library(tmp_path / "l.sqlite3") as library:
        library.keep_brew(tmp_path / "b.jsonl", NOON, "Bo")
        library.keep_brew(tmp_path / "a.jsonl", MORNING, "Ada")
        assert [brew.by for brew in library.brews()] == ["Bo", "Ada"]
        assert [brew.by for brew in library.brews(by="ada")] == ["Ada"]
        assert library.brews(by="Cy") == []
        kept = library.brew(tmp_path / "a.jsonl")
        assert kept is not None
        assert kept.by == "Ada"
        assert library.brew(tmp_path / "c.jsonl") is None


def test_the_same_tape_keeps_its_number(tmp_path: Path) -> None:
    with Library(tmp_path / "l.sqlite3") as library:
        first = library.keep_brew(tmp_path / "a.jsonl", MORNING)
        assert library.keep_brew(tmp_path / "a.jsonl", MORNING, "Ada") == first
        assert len(library.brews()) == 1


def test_a_persons_lead_is_kept_and_forgotten(tmp_path: Path) -> None:
    with Library(tmp_path / "l.sqlite3") as library:
        assert library.person("Ada") is None
        library.learn_reaction("Ada", 0.31)
        assert library.person("ada") == Person("Ada", 0.31)
        library.learn_reaction("Ada", None)
        assert library.person("Ada") == Person("Ada", None)


def test_a_tape_that_is_not_kept_is_told_and_nothing_changes(tmp_path: Path) -> None:
    with Library(tmp_path / "l.sqlite3") as library:
        with pytest.raises(WorkError, match="is not in the library"):
            library.add_remark(tmp_path / "no.jsonl", Remark(RemarkKind.NOTE, "x", NOON))
        assert library.brews() == []


def test_what_is_no_library_is_told(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    path.write_text("this is no database, whatever its name says" * 50)
    with pytest.raises(WorkError, match="cannot be used"):
        Library(path)


def test_a_later_library_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    with sqlite3.connect(path) as later:
        later.execute("PRAGMA user_version = 99")
    later.close()
    with pytest.raises(WorkError, match="made by a later pourcoach"):
        Library(path)


def test_a_library_that_another_program_holds_is_told(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    with Library(path) as library:
        library.keep_brew(tmp_path / "a.jsonl", MORNING)
        other = sqlite3.connect(path, isolation_level=None)
        try:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(WorkError, match="another program is writing to the library"):
                library.keep_brew(tmp_path / "b.jsonl", NOON)
            other.execute("COMMIT")
        finally:
            other.close()
        library.keep_brew(tmp_path / "b.jsonl", NOON)
        assert len(library.brews()) == 2


def test_a_fresh_library_opened_by_many_at_once_refuses_none(tmp_path: Path) -> None:
    opening = (
        "import sys, pathlib\n"
        "from pourcoach.library.library import Library\n"
        "sys.stdin.read(1)\n"
        "with Library(pathlib.Path(sys.argv[1])) as library:\n"
        "    library.keep_brew(pathlib.Path(sys.argv[2]), '2026-01-15T09:30:00+00:00', 'Ada')\n"
    )
    for attempt in range(5):
        path = tmp_path / f"{attempt}.sqlite3"
        programs = [
            subprocess.Popen(
                [sys.executable, "-c", opening, str(path), str(tmp_path / f"{number}.jsonl")],
                stdin=subprocess.PIPE,
                stderr=subprocess.PIPE,
            )
            for number in range(6)
        ]
        for program in programs:
            assert program.stdin is not None
            program.stdin.write(b"x")
            program.stdin.flush()
        assert [program.communicate()[1] for program in programs] == [b""] * 6
        with Library(path) as library:
            assert len(library.brews()) == 6


@pytest.mark.skipif(os.name != "posix", reason="as POSIX systems keep files")
def test_a_library_is_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "data" / "l.sqlite3"
    Library(path).__exit__(None, None, None)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    path.chmod(0o644)
    Library(path).__exit__(None, None, None)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.skipif(os.name != "posix", reason="names are bytes there")
def test_a_tape_whose_name_is_no_text_is_kept_like_any(tmp_path: Path) -> None:
    tape = tmp_path / os.fsdecode(b"caf\xe9.jsonl")
    with Library(tmp_path / "l.sqlite3") as library:
        library.keep_brew(tape, MORNING, "Ada")
        library.name_water(tape, "tap")
        assert library.tapes() == {tape}
        assert [brew.tape for brew in library.brews()] == [tape]
