"""What the commands print, and the one line of an error."""

import io
import subprocess
import sys
from pathlib import Path

import pytest

from pourcoach.cli.console.terminal import PrintableStream, say_error
from pourcoach.cli.sessions.shelf import ProgressLine


def test_a_stream_writes_nothing_that_a_terminal_obeys() -> None:
    under = io.StringIO()
    print("a\x1b[2Jb\u202ec\nd", file=PrintableStream.around(under))
    assert under.getvalue() == "a\\x1b[2Jb\\u202ec\nd\n"


def test_how_far_long_work_is_stays_on_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    under = io.StringIO()
    monkeypatch.setattr(under, "isatty", lambda: True)
    monkeypatch.setattr(sys, "stderr", PrintableStream.around(under))
    say = ProgressLine("judging")
    say(1, 2)
    say(2, 2)
    assert under.getvalue() == "pourcoach: judging 1 of 2\rpourcoach: judging 2 of 2\n"


def test_an_error_is_one_line_and_keeps_what_follows_a_long_word(
    capsys: pytest.CaptureFixture[str],
) -> None:
    say_error("there is no file " + "x\n" * 100_000 + "; check its name")
    printed = capsys.readouterr().err
    assert printed.count("\n") == 1
    assert len(printed) < 400
    assert printed.endswith("check its name\n")


def test_the_program_itself_prints_through_it(tmp_path: Path) -> None:
    name = "\x1b]0;title\x07.jsonl"
    done = subprocess.run(
        [sys.executable, "-m", "pourcoach", "analyse", str(tmp_path / name)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "\\x1b]0;title\\x07.jsonl" in done.stderr
    assert done.stderr.replace("\n", "").isprintable()


def test_long_work_says_how_long_it_takes_and_nothing_is_left_of_that(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    under = io.StringIO()
    monkeypatch.setattr(under, "isatty", lambda: True)
    monkeypatch.setattr(sys, "stderr", PrintableStream.around(under))
    now_s = iter((0.0, 30.0, 60.0, 180.0))
    monkeypatch.setattr("time.monotonic", lambda: next(now_s))
    say = ProgressLine("judging", " (Ctrl+C)")
    for done in (10, 20, 60):
        say(done, 60)
    first, second, third = under.getvalue().rstrip("\n").split("\r")
    assert first == "pourcoach: judging 10 of 60, 2 min left (Ctrl+C)"
    assert second == first.replace("10 of", "20 of")
    assert third == "pourcoach: judging 60 of 60".ljust(len(first))
