"""A brew as lines of text is steered from standard input: keys at a terminal, lines on a pipe."""

import asyncio
import os
import signal
import subprocess
import sys
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import pytest

from pourcoach.cli.console import plain_keys
from pourcoach.cli.console.plain_keys import QUIT_AGAIN_S, Keys, LineCommands
from pourcoach.cli.console.terminal import PrintableStream
from pourcoach.cli.console.typed_lines import TypedLine
from pourcoach.domain.inputs import Begin, Mark, Note, Tare
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.tape import read_tape

UNTARED = ["brew", "--plain", "--scale", "sim:steady?untared=612"]
COMMAND = [sys.executable, "-m", "pourcoach", *UNTARED]


class FakeBrew:
    """Notes what is asked of it."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, ...]] = []
        self.finish_asked = False

    def __getattr__(self, name: str) -> Any:
        return lambda *given: self.asked.append((name, *given))


class Typist:
    def __init__(self) -> None:
        self.brew = FakeBrew()
        self.said: list[str] = []
        self.echoed = ""
        self.now_s = 0.0
        self.keys = Keys(self.brew, self.said.append, self._echo, lambda: self.now_s)  # type: ignore[arg-type]

    def _echo(self, text: str) -> None:
        self.echoed += text


def test_each_key_does_what_it_does_on_the_screen() -> None:
    typist = Typist()
    for press in ("t", " ", "\r", "\n", "m", "M", "u", "x"):
        typist.keys.take(press)
    assert [name for (name,) in typist.brew.asked] == [
        "tare", "main", "main", "main", "mark", "mark", "undo",
    ]  # fmt: skip


def test_the_sounds_keys_are_there_where_there_is_sound() -> None:
    class FakeSound:
        muted, volume = False, 0.4

        def mute(self) -> None:
            self.muted = not self.muted

        def louder(self) -> None:
            self.volume, self.muted = 0.6, False

    brew: Any = FakeBrew()
    said: list[str] = []
    keys = Keys(brew, said.append, lambda _: None, lambda: 0.0, FakeSound())
    keys.take("sv")
    commands = LineCommands(brew, said.append, FakeSound())
    commands.take("s\nv\n")
    LineCommands(brew, said.append).take("s\n")
    assert said[:4] == ["Sound muted.", "Sound at 60%.", "sound muted", "sound at 60%"]
    assert "'s' is no command" in said[4]


class Collecting:
    def __init__(self) -> None:
        self.taken: list[str] = []

    def take(self, text: str) -> None:
        self.taken.append(text)


async def test_an_arrow_or_a_function_key_types_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    sent = iter([b"\x1b[A", b"\x1bOP", b"\x1b[15~\x1b[1;5Bm", b"\x1bq", b"\x1b", b"t", b""])
    monkeypatch.setattr(plain_keys, "_descriptor", lambda: 0)
    monkeypatch.setattr(os, "isatty", lambda _: True)
    monkeypatch.setattr(plain_keys, "_key_reader", lambda _: nullcontext(lambda: next(sent)))
    keys, ended = Collecting(), asyncio.Event()
    with plain_keys.taking_input(Collecting(), keys, "Keys: none.", ended.set):
        await asyncio.wait_for(ended.wait(), 20.0)
    assert "".join(keys.taken) == "m\x1bt"


def test_what_is_rubbed_out_goes_from_the_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stderr", PrintableStream.around(sys.stderr))
    line = TypedLine(plain_keys.echo)
    for key in "12\x7f":
        line.take(key)
    assert capsys.readouterr().err == "12\b \b"


def test_a_note_is_typed_mended_and_given_up() -> None:
    typist = Typist()
    typist.keys.take("n")
    typist.keys.take("kettel\x7f\x7fle tüm\b \r")
    typist.keys.take("nmistake\x1b")
    typist.keys.take("n \r")
    assert typist.brew.asked == [("note", "kettle tü")]
    assert typist.echoed.startswith("Note: kettel\b \b\b \ble")


def test_quitting_is_asked_again_within_a_while() -> None:
    typist = Typist()
    typist.keys.take("q")
    typist.now_s = QUIT_AGAIN_S + 1
    typist.keys.take("q")
    assert typist.brew.asked == []
    typist.keys.take("q")
    assert typist.brew.asked == [("stop",)]
    assert typist.said[0] == "Press q again to stop; what was recorded is kept."


def test_a_space_that_would_end_the_brew_says_how() -> None:
    typist = Typist()
    typist.brew.finish_asked = True
    typist.keys.take(" ")
    assert "press Space again" in typist.said[0]


def test_commands_are_lines_however_cut() -> None:
    brew, said = FakeBrew(), list[str]()
    commands = LineCommands(brew, said.append)  # type: ignore[arg-type]
    for piece in ("t\ng", "o\r\n\nM\n", "n the kettle", " drips\nu\nq"):
        commands.take(piece)
    assert brew.asked == [("tare",), ("main",), ("mark",), ("note", "the kettle drips"), ("undo",)]
    assert said == []
    commands.take("\nn\ntare now\n")
    assert brew.asked[-1] == ("stop",)
    assert [text.partition(";")[0] for text in said] == [
        "'n' is no command",
        "'tare now' is no command",
    ]


def kept(home: Path) -> list[object]:
    """What was pressed, as it is on the recording."""
    (path,) = tapes_in(home / "tapes")
    tape = read_tape(path)
    assert tape.end_s is not None
    return [item for item in tape.inputs if isinstance(item, Tare | Begin | Mark | Note)]


def test_a_scale_with_vessels_on_it_is_tared_and_used_over_a_pipe(home: Path) -> None:
    with subprocess.Popen(
        COMMAND, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as brew:
        assert brew.stdin is not None
        assert brew.stdout is not None
        first = brew.stdout.readline()
        brew.stdin.write("t\nm\nn the kettle drips\nstir\nq\n")
        brew.stdin.flush()
        out, err = brew.communicate(timeout=60)
    assert brew.returncode == 0
    assert "612 g" in first
    assert "KEY     Tared." in out
    assert "Note kept, before the first water: the kettle drips" in out
    assert "pourcoach: 'stir' is no command; there are t (tare), go" in err
    tare, mark, note = kept(home)
    assert isinstance(tare, Tare)
    assert tare.by_scale
    assert isinstance(mark, Mark)
    assert isinstance(note, Note)


@pytest.mark.skipif(os.name != "posix", reason="pseudo-terminals are POSIX only")
def test_at_a_terminal_keys_need_no_enter_and_the_terminal_is_given_back(home: Path) -> None:
    import pty
    import termios

    ours, theirs = pty.openpty()
    before = termios.tcgetattr(theirs)
    # A session of its own, with the pseudo-terminal as its terminal.
    script = (
        "import fcntl, os, sys, termios; os.setsid(); fcntl.ioctl(0, termios.TIOCSCTTY, 0); "
        f"os.execv(sys.executable, {COMMAND!r})"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script],
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as brew:
        assert brew.stdout is not None
        assert "612 g" in brew.stdout.readline()
        os.write(ours, b"t")
        assert "Tared." in brew.stdout.readline()
        os.write(ours, "mnüber\r".encode())
        os.write(ours, b"qq")
        out, err = brew.communicate(timeout=60)
    assert brew.returncode == 0, signal.strsignal(-brew.returncode)
    assert "Marked: before the first water." in out
    assert "Keys: t tare, Space or Enter" in err
    assert "Press q again" in err
    assert [type(item) for item in kept(home)] == [Tare, Mark, Note]
    assert termios.tcgetattr(theirs) == before
    os.close(ours)
    os.close(theirs)
