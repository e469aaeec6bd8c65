"""The library's file: whole or not at all, private, and an error where it cannot be used."""

import os
import sqlite3
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.library.brews import find_brews
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import BrokenLibraryError, Library, ask_library, library_path
from pourcoach.library.people import learn_reaction, people, person_called
from pourcoach.library.records import Person
from tests.library.made_tapes import make_tape


def test_what_is_no_library_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    path.write_text("this is no database, whatever its name says" * 50)
    with pytest.raises(BrokenLibraryError, match="sessions rebuild"):
        Library(path)
    assert path.read_text().startswith("this is no database")


def test_what_a_library_cannot_answer_is_answered_without_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    assert ask_library(lambda library: len(find_brews(library)), -1) == -1
    assert not library_path().exists()
    with Library(library_path()) as library:
        enter_tape(library, make_tape(tmp_path / "a.jsonl"))
    assert ask_library(lambda library: len(find_brews(library)), -1) == 1
    library_path().write_text("this is no database, whatever its name says" * 50)
    assert ask_library(lambda library: len(find_brews(library)), -1) == -1


def test_a_damaged_library_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    with Library(path) as library:
        enter_tape(library, make_tape(tmp_path / "a.jsonl"))
    size = path.stat().st_size
    with path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * (size - 4096))
    with pytest.raises(BrokenLibraryError), Library(path) as library:
        find_brews(library)


def test_a_later_library_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    with closing(sqlite3.connect(path)) as later:
        later.execute("PRAGMA user_version = 99")
    before = path.read_bytes()
    with pytest.raises(WorkError, match="made by a later pourcoach"):
        Library(path)
    assert path.read_bytes() == before


def test_a_library_that_another_program_holds_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "l.sqlite3"
    first = make_tape(tmp_path / "a.jsonl")
    second = make_tape(tmp_path / "b.jsonl", grams=1.0)
    with Library(path) as library:
        enter_tape(library, first)
        with closing(sqlite3.connect(path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(WorkError, match="another program is writing to the library"):
                enter_tape(library, second)
            assert len(find_brews(library)) == 1
            other.execute("COMMIT")
        enter_tape(library, second)
        assert len(find_brews(library)) == 2


NOBODY = 65534


@contextmanager
def someone_else(*paths: Path) -> Iterator[None]:
    """As a user who may not write the files: root may, and so becomes another one for a while."""
    if os.geteuid() != 0:
        yield
        return
    for path in paths:
        os.chown(path, NOBODY, NOBODY)
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.mark.skipif(os.name != "posix", reason="as POSIX systems keep files")
def test_a_library_for_reading_only_is_read_and_reported(tmp_path: Path) -> None:
    tape = make_tape(tmp_path / "a.jsonl")
    # Not in tmp_path, whose parents only its owner may enter.
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        path = data / "l.sqlite3"
        with Library(path) as library:
            enter_tape(library, tape)
        path.chmod(0o400)
        data.chmod(0o500)
        with someone_else(path, data):
            try:
                with Library(path) as library:
                    assert len(find_brews(library)) == 1
                    with pytest.raises(WorkError, match="for reading only"):
                        learn_reaction(library, "Ada", 0.3)
            finally:
                data.chmod(0o700)


def test_a_change_is_whole_or_not_at_all(tmp_path: Path) -> None:
    with Library(tmp_path / "l.sqlite3") as library:

        def fail() -> None:
            with library.changing():
                learn_reaction(library, "Ada", 0.3)
                raise RuntimeError

        with pytest.raises(RuntimeError):
            fail()
        assert people(library) == []


def test_a_fresh_library_opened_by_many_at_once_refuses_none(tmp_path: Path) -> None:
    opening = (
        "import sys, pathlib\n"
        "from pourcoach.library.entering import enter_tape\n"
        "from pourcoach.library.library import Library\n"
        "sys.stdin.read(1)\n"
        "with Library(pathlib.Path(sys.argv[1])) as library:\n"
        "    enter_tape(library, pathlib.Path(sys.argv[2]))\n"
    )
    tapes = [make_tape(tmp_path / f"{number}.jsonl", grams=number) for number in range(6)]
    path = tmp_path / "l.sqlite3"
    programs = [
        subprocess.Popen(
            [sys.executable, "-c", opening, str(path), str(tape)],
            stdin=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for tape in tapes
    ]
    for program in programs:
        assert program.stdin is not None
        program.stdin.write(b"x")
        program.stdin.flush()
    assert [program.communicate()[1] for program in programs] == [b""] * 6
    with Library(path) as library:
        assert len(find_brews(library)) == 6


@pytest.mark.skipif(os.name != "posix", reason="as POSIX systems keep files")
def test_a_library_is_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "data" / "l.sqlite3"
    Library(path).__exit__(None, None, None)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    path.chmod(0o644)
    Library(path).__exit__(None, None, None)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_persons_lead_is_kept_and_forgotten(tmp_path: Path) -> None:
    with Library(tmp_path / "l.sqlite3") as library:
        assert person_called(library, "Ada") is None
        learn_reaction(library, "Ada", 0.31)
        assert person_called(library, "ada") == Person("Ada", 0.31)
        learn_reaction(library, "Ada", None)
        assert person_called(library, "Ada") == Person("Ada", None)
