"""Writing a tape: at once, never over another, never holding the brew up."""

import os
import signal
import subprocess
import sys
import tempfile
from datetime import datetime
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Reading, Tare
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter, new_tape_path, refuse_existing

INPUTS = (Reading(0.1, 0.0), Tare(0.2), Reading(0.3, 1.5, sequence=4))


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    path = tmp_path / "new" / "a.jsonl"
    with TapeWriter(path, TapeHeader(by="Ada")) as tape:
        for item in INPUTS:
            tape.append(item)
        tape.finish(0.5)
    read = read_tape(path)
    assert (read.inputs, read.end_s, read.header.by) == (INPUTS, 0.5, "Ada")
    assert tape.trouble is None


def test_every_input_is_on_disk_before_the_next_comes(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    with TapeWriter(path, TapeHeader()) as tape:
        for count, item in enumerate(INPUTS, 1):
            tape.append(item)
            assert read_tape(path).inputs == INPUTS[:count]


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="SIGKILL is POSIX only")
def test_a_killed_program_leaves_a_whole_tape(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    writing = (
        "import sys, time, pathlib\n"
        "from pourcoach.domain.inputs import Reading\n"
        "from pourcoach.recordings.tape import TapeHeader\n"
        "from pourcoach.recordings.writer import TapeWriter\n"
        "tape = TapeWriter(pathlib.Path(sys.argv[1]), TapeHeader())\n"
        "for i in range(200): tape.append(Reading(i / 80, i * 0.06))\n"
        "print('written', flush=True)\n"
        "time.sleep(60)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", writing, str(path)], stdout=subprocess.PIPE
    ) as child:
        assert child.stdout is not None
        assert child.stdout.readline().strip() == b"written"
        child.send_signal(signal.SIGKILL)
    tape = read_tape(path)
    assert (len(tape.inputs), tape.problem) == (200, None)


def test_an_existing_file_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    path.write_text("mine")
    with pytest.raises(WorkError, match="is there already"):
        refuse_existing(path)
    with TapeWriter(path, TapeHeader()) as tape:
        tape.append(INPUTS[0])
    assert path.read_text() == "mine"
    assert read_tape(tape.path).inputs == INPUTS[:1]
    tape.path.unlink()


def test_a_folder_that_refuses_is_told_and_the_tape_saved_elsewhere(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    tape = TapeWriter(in_the_way / "a.jsonl", TapeHeader())
    assert tape.trouble == f"tape kept as {tape.path}, not as {in_the_way / 'a.jsonl'}"
    for count, item in enumerate(INPUTS, 1):
        tape.append(item)
        assert read_tape(tape.path).inputs == INPUTS[:count]
    tape.close()
    tape.path.unlink()


def test_where_no_folder_takes_it_the_tape_is_held_and_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "none"))
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    tape = TapeWriter(in_the_way / "a.jsonl", TapeHeader())
    tape.append(INPUTS[0])
    assert tape.trouble is not None
    assert "tape not written (there is no such file or folder)" in tape.trouble
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    tape.close()
    assert tape.path.parent == tmp_path
    assert read_tape(tape.path).inputs == INPUTS[:1]


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs /dev/full (Linux)")
def test_a_full_disk_is_told_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = Path("/dev/full")
    real_open = Path.open
    monkeypatch.setattr(
        Path,
        "open",
        lambda self, mode="r", **more: real_open(
            full if mode == "xb" else self, mode.replace("x", "w"), **more
        ),
    )
    tape = TapeWriter(tmp_path / "a.jsonl", TapeHeader())
    assert tape.trouble is not None
    assert "the disk is full" in tape.trouble
    tape.append(INPUTS[0])
    tape.close()
    monkeypatch.undo()
    assert read_tape(tape.path).inputs == INPUTS[:1]
    tape.path.unlink()


def test_each_brew_gets_a_name_of_its_own(tmp_path: Path) -> None:
    when = datetime(2026, 1, 15, 9, 30, 5)
    first = new_tape_path(tmp_path, when)
    assert first.name == "2026-01-15-093005.jsonl"
    first.touch()
    assert new_tape_path(tmp_path, when).name == "2026-01-15-093005-2.jsonl"


def test_a_tape_without_inputs_leaves_no_file(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    TapeWriter(path, TapeHeader()).close()
    assert not path.exists()
