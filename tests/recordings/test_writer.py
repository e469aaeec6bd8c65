"""Writing a tape: at once, never over another, never holding the brew up."""

import errno
import os
import shutil
import signal
import stat
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Reading, Tare
from pourcoach.recordings.spare import Spare
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.tape_file import TapeFile
from pourcoach.recordings.writer import TapeWriter, new_tape_path, refuse_existing_tape

posix = pytest.mark.skipif(os.name != "posix", reason="as POSIX systems keep files")

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
        refuse_existing_tape(path)
    with TapeWriter(path, TapeHeader()) as tape:
        tape.append(INPUTS[0])
    assert path.read_text() == "mine"
    assert read_tape(tmp_path / "a-2.jsonl").inputs == INPUTS[:1]
    assert tape.trouble is not None
    assert "that is there already" in tape.trouble


def test_another_free_name_is_no_trouble_where_any_will_do(tmp_path: Path) -> None:
    for name in ("a.jsonl", "a-2.jsonl"):
        with TapeWriter(tmp_path / "a.jsonl", TapeHeader(), any_name=True) as tape:
            tape.append(INPUTS[0])
        assert (tape.trouble, tape.kept) == (None, tmp_path / name)


@posix
def test_a_tape_is_for_its_owner_alone(tmp_path: Path) -> None:
    with TapeWriter(tmp_path / "new" / "a.jsonl", TapeHeader()) as tape:
        tape.append(INPUTS[0])
    assert stat.S_IMODE(tape.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(tape.path.parent.stat().st_mode) == 0o700


def test_a_folder_that_refuses_is_reported_and_the_tape_saved_elsewhere(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    tape = TapeWriter(in_the_way / "a.jsonl", TapeHeader(), [Spare(tmp_path / "spare")])
    for count, item in enumerate(INPUTS, 1):
        tape.append(item)
        assert read_tape(tape.path).inputs == INPUTS[:count]
    assert tape.trouble == (
        f"recording kept as {tmp_path / 'spare' / 'pourcoach-rescued-a.jsonl'}, not as"
        f" {in_the_way / 'a.jsonl'} (what should be its folder is a file)"
    )
    tape.close()


def test_a_folder_that_the_system_clears_is_reported_as_that(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    spares = [Spare(tmp_path / "file"), Spare(tmp_path / "spare", cleared_by_system=True)]
    with TapeWriter(tmp_path / "file" / "a.jsonl", TapeHeader(), spares) as tape:
        tape.append(INPUTS[0])
    assert tape.trouble is not None
    assert tape.trouble.endswith("the system clears that folder, so copy it soon")


def test_where_no_folder_takes_it_the_tape_is_held_and_tried_again(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    tape = TapeWriter(in_the_way / "a.jsonl", TapeHeader(), [Spare(in_the_way)])
    tape.append(INPUTS[0])
    assert tape.trouble is not None
    assert "recording not written (what should be its folder is a file)" in tape.trouble
    assert tape.kept is None
    in_the_way.unlink()
    tape.close()
    assert tape.kept is not None
    assert read_tape(tape.kept).inputs == INPUTS[:1]


@posix
def test_a_disk_that_fills_up_costs_nothing(tmp_path: Path) -> None:
    """Files may be 4 kB long: to the writer the same as a disk with 4 kB left."""
    import resource

    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    readings = tuple(Reading(i / 10, i * 0.5) for i in range(400))
    tape = TapeWriter(tmp_path / "a.jsonl", TapeHeader(), [])
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, limits[1]))
        for item in readings[:350]:
            tape.append(item)
        assert tape.trouble is not None
        assert tape.trouble.endswith("the brew goes on, kept in memory")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, before)
    for item in readings[350:]:
        tape.append(item)
    tape.close()
    assert tape.trouble is None
    assert read_tape(tmp_path / "a.jsonl").inputs == readings


def test_what_a_full_disk_took_goes_once_the_whole_is_elsewhere(tmp_path: Path) -> None:
    tape = TapeWriter(tmp_path / "a.jsonl", TapeHeader(), [Spare(tmp_path / "spare")])
    tape.append(INPUTS[0])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TapeFile, "write", _full_in(tmp_path))
        tape.append(Tare(1.0))
        tape.append(Tare(2.0))
    assert (tmp_path / "a.jsonl").exists(), "until the end, for the spare may be a memory disk"
    tape.close()
    assert not (tmp_path / "a.jsonl").exists()
    assert read_tape(tape.path).inputs == (INPUTS[0], Tare(1.0), Tare(2.0))
    assert tape.path == tmp_path / "spare" / "pourcoach-rescued-a.jsonl"


def _full_in(folder: Path) -> Callable[[TapeFile, bytes], int]:
    write = TapeFile.write

    def full(file: TapeFile, data: bytes) -> int:
        if file.path.parent == folder:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(file, data)

    return full


@posix
@pytest.mark.parametrize("how", ["deleted", "renamed", "cut", "folder moved", "folder deleted"])
def test_a_tape_taken_away_in_mid_brew_is_written_anew(tmp_path: Path, how: str) -> None:
    folder = tmp_path / "tapes"
    tape = TapeWriter(folder / "a.jsonl", TapeHeader(), [Spare(tmp_path / "spare")])
    readings = tuple(Reading(i / 10, i * 0.5) for i in range(100))
    for item in readings[:50]:
        tape.append(item)
    match how:
        case "deleted":
            tape.path.unlink()
        case "renamed":
            tape.path.rename(folder / "b.jsonl")
        case "cut":
            os.truncate(tape.path, 40)
        case "folder moved":
            folder.rename(tmp_path / "elsewhere")
        case _:
            shutil.rmtree(folder)
    for item in readings[50:60]:
        tape.append(item)
    assert tape.trouble is not None, "within a second"
    for item in readings[60:]:
        tape.append(item)
    tape.close()
    assert tape.kept is not None
    assert read_tape(tape.kept).inputs == readings
    assert str(tape.kept) in tape.trouble


def test_a_tape_taken_away_after_the_last_input_is_written_anew(tmp_path: Path) -> None:
    tape = TapeWriter(tmp_path / "a.jsonl", TapeHeader(), [])
    tape.append(INPUTS[0])
    tape.path.unlink()
    tape.finish(1.0)
    tape.close()
    assert read_tape(tmp_path / "a.jsonl").end_s == 1.0


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
