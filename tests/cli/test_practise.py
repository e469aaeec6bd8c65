"""Practice from the command line, as a script drives it."""

import io
import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main
from pourcoach.session.practice.drills import ORDER

SIMULATED = "sim:learning?speed=90&seed=2"


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Lets standard input be a pipe with these lines in it."""
    opened: list[io.FileIO] = []

    def pipe(text: str) -> None:
        read, write = os.pipe()
        os.write(write, text.encode())
        os.close(write)
        opened.append(io.FileIO(read))
        monkeypatch.setattr(sys, "stdin", opened[-1])

    yield pipe
    for stream in opened:
        stream.close()


def test_drills_are_listed_with_what_is_needed_and_judged(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["practise", "--list", "--json"]) == DONE
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [row["name"] for row in rows][:2] == ["steady", "landing"]
    assert all(set(row) == {"name", "title", "task", "needs", "judged"} for row in rows)
    assert all("plain water" in row["needs"] for row in rows)


def test_both_spellings_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["practice", "--list"]) == DONE
    assert "steady\n" in capsys.readouterr().out


def test_a_sitting_on_a_pipe_asks_before_it_shows(
    typed, capsys: pytest.CaptureFixture[str]
) -> None:
    typed("e 5\n4,8\n")
    args = ["practise", "steady", "--scale", SIMULATED, "--by", "Ada", "--plain", "--pours", "2"]
    assert main(args) == DONE
    lines = capsys.readouterr().out.splitlines()
    words = [word for line in lines for word in ("TASK", " ASK", "OVER", "RESULT") if word in line]
    assert words == ["TASK", " ASK", "OVER", "TASK", " ASK", "RESULT"]
    assert lines[-1].startswith("The test can be made from ")


def test_without_an_estimate_there_is_no_result(typed, capsys: pytest.CaptureFixture[str]) -> None:
    typed("")
    args = ["practise", "steady", "--scale", SIMULATED, "--schedule", "none", "--pours", "2"]
    assert main(args) == DONE
    out = capsys.readouterr().out
    assert "No estimate came" in out
    assert "RESULT" not in out


def test_what_no_command_is_is_reported(typed, capsys: pytest.CaptureFixture[str]) -> None:
    typed("dance\ne much\nq\n")
    assert main(["practise", "steady", "--scale", SIMULATED]) == DONE
    error = capsys.readouterr().err
    assert "'dance' is no command" in error
    assert "'much' is no number" in error


@pytest.mark.parametrize(
    ("args", "why"),
    [
        (["practise"], "no drill is named"),
        (["practise", "juggling"], "there is no drill 'juggling'"),
        (["practise", "steady"], "no scale is named"),
        (
            ["practise", "steady", "--scale", "sim:steady", "--seed", "-1"],
            "'-1' is no whole number from 0 to",
        ),
        (
            ["practise", "steady", "--scale", "sim:steady", "--pours", "0"],
            "'0' is no whole number from 1 to",
        ),
        (["practise", "steady", "--scale", "sim:steady", "--part", "test"], "no test of steady"),
    ],
)
def test_wrong_use_is_one_line(
    args: list[str], why: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(args) == WRONG_USE
    error = capsys.readouterr().err
    assert why in error
    assert error.count("\n") == 1


def test_a_trainers_schedule_is_checked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "own.toml"
    path.write_text("shares = [2]", encoding="utf-8")
    args = ["practise", "steady", "--scale", "sim:steady", "--schedule", str(path)]
    assert main(args) == FAILED
    assert f"{path}: the schedule, line 1: shares is 2" in capsys.readouterr().err


def test_progress_of_a_beginner_has_a_row_a_drill_and_no_figure(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["practise", "--progress", "--by", "Ada", "--json"]) == DONE
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [row["drill"] for row in rows] == list(ORDER)
    for row in rows:
        assert row["tests"] == 0
        assert [row[key] for key in ("bias", "spread", "interval", "trend")] == [None] * 4


def test_progress_in_words_says_that_there_is_too_little(
    typed, capsys: pytest.CaptureFixture[str]
) -> None:
    typed("e 5\n")
    main(["practise", "steady", "--scale", SIMULATED, "--by", "Ada", "--plain", "--pours", "1"])
    capsys.readouterr()
    assert main(["practise", "--progress", "--by", "Ada"]) == DONE
    out = capsys.readouterr().out
    assert "Too little to tell: 0 test pours so far" in out
    assert "Next: steady, for it has too few test pours" in out


def test_the_kettle_says_what_it_can_train_and_is_tilted_by_commands(
    typed, capsys: pytest.CaptureFixture[str]
) -> None:
    typed("tilt 0.9\nq\n")
    args = ["practise", "steady", "--scale", "kettle:?speed=20", "--by", "Ada", "--pours", "1"]
    assert main(args) == DONE
    captured = capsys.readouterr()
    assert "cannot train the hand" in captured.out
    assert captured.err == ""


def test_a_shipped_recording_is_spotted_by_its_name(
    typed, capsys: pytest.CaptureFixture[str]
) -> None:
    typed("q")
    assert main(["practise", "spot", "stall", "--plain"]) == DONE
    out = capsys.readouterr().out
    assert "0.97 or more" in out
    assert "Nothing was watched to its end." in out
