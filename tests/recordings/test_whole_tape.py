from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Input, Note, Reading, Tare
from pourcoach.domain.plan import Plan, Stage
from pourcoach.recordings.tape import Tape, TapeHeader, read_tape
from pourcoach.recordings.whole_tape import write_tape

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))
INPUTS: tuple[Input, ...] = (
    Reading(0.1, 0.2),
    Tare(0.15),
    Reading(0.2, 0.3, device_s=7.0, sequence=4, corners_g=(0.1, 0.1, 0.1)),
    Note(1.0, "new kettle"),
)
TAPE = Tape(TapeHeader(PLAN, scale={"address": "sim:steady", "rate_hz": 10.0}), INPUTS, 12.5)


@pytest.mark.parametrize("name", ["a.jsonl", "a.jsonl.gz"])
def test_what_is_written_is_read_back(tmp_path: Path, name: str) -> None:
    write_tape(tmp_path / name, TAPE)
    assert read_tape(tmp_path / name) == TAPE


def test_a_tape_without_an_end_stays_without(tmp_path: Path) -> None:
    cut_off = Tape(TAPE.header, INPUTS, None)
    write_tape(tmp_path / "a.jsonl", cut_off)
    assert read_tape(tmp_path / "a.jsonl") == cut_off


@pytest.mark.parametrize("name", ["a.jsonl", "a.jsonl.gz"])
def test_the_same_tape_gives_the_same_bytes(tmp_path: Path, name: str) -> None:
    first, second = tmp_path / "1", tmp_path / "2"
    first.mkdir()
    second.mkdir()
    write_tape(first / name, TAPE)
    write_tape(second / name, TAPE)
    assert (first / name).read_bytes() == (second / name).read_bytes()


def test_no_tape_is_written_over(tmp_path: Path) -> None:
    write_tape(tmp_path / "a.jsonl", TAPE)
    before = (tmp_path / "a.jsonl").read_bytes()
    with pytest.raises(WorkError, match="is there already; choose another name"):
        write_tape(tmp_path / "a.jsonl", Tape(TAPE.header, (), None))
    assert (tmp_path / "a.jsonl").read_bytes() == before


def test_a_folder_that_is_not_there_is_reported(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match="cannot be written: there is no such"):
        write_tape(tmp_path / "none" / "a.jsonl", TAPE)
