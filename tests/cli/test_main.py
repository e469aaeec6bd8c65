"""The front door: listing, exit statuses, one line for each error, and what it does not import."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from pourcoach.cli.commands import COMMANDS, OTHER_SPELLINGS
from pourcoach.cli.main import main

HEAVY = ("textual", "serial", "bleak", "numpy", "asyncio")


def test_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    assert left.value.code == 0
    listing = capsys.readouterr().out
    assert all(f"  {name} " in listing for name in COMMANDS)


@pytest.mark.parametrize("name", [*COMMANDS, *OTHER_SPELLINGS])
def test_every_command_has_help_with_an_example(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main([name, "--help"])
    assert left.value.code == 0
    assert "example: pourcoach " in capsys.readouterr().out


@pytest.mark.parametrize(
    "argv", [["brw"], ["--loud"], ["plan", "--no-such-option"], ["plan", "--dose", "much"]]
)
def test_wrong_use_is_one_line_and_status_2(
    argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(argv) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("pourcoach: ")
    assert said.err.count("\n") == 1


@pytest.mark.parametrize("argv", [["--help"], ["analyse", "--help"], ["plan"]])
def test_light_commands_import_nothing_heavy(argv: list[str]) -> None:
    script = (
        "import sys\n"
        "from pourcoach.cli.main import main\n"
        "try: main(sys.argv[1:])\n"
        "except SystemExit: pass\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *argv], capture_output=True, text=True, check=True
    )
    assert ran.stderr == "[]\n"


@pytest.mark.parametrize("argv", [["plan", "--why"], ["temperature", "--why"]])
def test_a_poor_encoding_costs_signs_and_no_traceback(argv: list[str]) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "pourcoach", *argv],
        env=os.environ | {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
        capture_output=True,
        check=True,
    )
    assert run.stdout.isascii()
    assert run.stderr == b""


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no /dev/full")
@pytest.mark.parametrize(
    "argv", [["plan"], ["replay", "--plain", "recordings/steady.jsonl"], ["analyse", "recordings"]]
)
def test_a_full_disk_under_the_output_is_one_line(argv: list[str]) -> None:
    with open("/dev/full", "w") as full:
        run = subprocess.run(
            [sys.executable, "-m", "pourcoach", *argv],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert run.returncode == 1
    assert run.stderr == "pourcoach: the output cannot be written: the disk is full\n"


@pytest.mark.skipif(os.name != "posix", reason="descriptors are closed the POSIX way")
def test_a_closed_output_is_no_fault() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "pourcoach", "plan"],
        stdin=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        preexec_fn=lambda: os.close(1),
        check=False,
    )
    assert (run.returncode, run.stderr) == (0, b"")


@pytest.mark.skipif(os.name != "posix", reason="a pipe breaks the POSIX way")
def test_a_reader_that_goes_away_is_no_fault_of_ours_to_report() -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    run = subprocess.run(
        [sys.executable, "-m", "pourcoach", "plan"],
        stdout=write_end,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write_end)
    assert (run.returncode, run.stderr) == (1, b"")


def test_a_recording_that_comes_along_is_replayed_by_its_name_from_anywhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    assert main(["replay", "overshoot", "--plain"]) == 0
    assert "OVER" in capsys.readouterr().out.upper()
    assert main(["replay", "overshot", "--plain"]) == 1
    assert "there is no file overshot" in capsys.readouterr().err
