"""Tapes that were written elsewhere in need, and are fetched back."""

import os
from pathlib import Path

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.recordings.spare import Spare, fetch_back
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter

READINGS = tuple(Reading(i / 10, i * 0.5) for i in range(20))


def spoilt(tmp_path: Path) -> TapeWriter:
    """A tape in a spare folder."""
    (tmp_path / "file").write_text("")
    tape = TapeWriter(tmp_path / "file" / "a.jsonl", TapeHeader(), [Spare(tmp_path / "spare")])
    for item in READINGS:
        tape.append(item)
    return tape


def test_a_tape_in_a_spare_folder_is_fetched_back(tmp_path: Path) -> None:
    tape = spoilt(tmp_path)
    tape.close()
    assert fetch_back([Spare(tmp_path / "spare")], tmp_path / "tapes") == [
        tmp_path / "tapes" / "a.jsonl"
    ]
    assert read_tape(tmp_path / "tapes" / "a.jsonl").inputs == READINGS
    assert not tape.path.exists()


def test_the_whole_takes_the_place_of_the_part_before_the_trouble(tmp_path: Path) -> None:
    tape = spoilt(tmp_path)
    tape.close()
    whole = tape.path.read_bytes()
    (tmp_path / "tapes").mkdir()
    (tmp_path / "tapes" / "a.jsonl").write_bytes(whole[:100])
    fetch_back([Spare(tmp_path / "spare")], tmp_path / "tapes")
    assert [path.name for path in (tmp_path / "tapes").iterdir()] == ["a.jsonl"]
    assert (tmp_path / "tapes" / "a.jsonl").read_bytes() == whole


def test_another_brew_of_that_name_stays(tmp_path: Path) -> None:
    spoilt(tmp_path).close()
    (tmp_path / "tapes").mkdir()
    (tmp_path / "tapes" / "a.jsonl").write_text("another")
    fetch_back([Spare(tmp_path / "spare")], tmp_path / "tapes")
    assert (tmp_path / "tapes" / "a.jsonl").read_text() == "another"
    assert read_tape(tmp_path / "tapes" / "a-2.jsonl").inputs == READINGS


@pytest.mark.skipif(os.name != "posix", reason="the lock is of POSIX systems")
def test_a_tape_being_written_and_a_link_stay(tmp_path: Path) -> None:
    tape = spoilt(tmp_path)
    (tmp_path / "spare" / "pourcoach-rescued-link.jsonl").symlink_to("/etc/passwd")
    assert fetch_back([Spare(tmp_path / "spare")], tmp_path / "tapes") == []
    tape.close()


def test_what_the_user_put_there_stays(tmp_path: Path) -> None:
    (tmp_path / "spare").mkdir()
    (tmp_path / "spare" / "pourcoach-morning.jsonl").write_text('{"pourcoach": 1}\n')
    assert fetch_back([Spare(tmp_path / "spare")], tmp_path / "tapes") == []
