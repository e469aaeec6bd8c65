"""A terminal that goes without a signal: it is not the controlling one of the program."""

import os
import select
import signal
import struct
import subprocess
import sys
from pathlib import Path

import pytest

from pourcoach.recordings.tape import read_tape

fcntl = pytest.importorskip("fcntl", reason="needs pseudo-terminals")
pty = pytest.importorskip("pty", reason="needs pseudo-terminals")
termios = pytest.importorskip("termios", reason="needs pseudo-terminals")
PATIENCE_S = 30.0
BREW = (sys.executable, "-m", "pourcoach", "brew", "--scale", "sim:steady?speed=8", "--no-config")


def test_a_brew_ends_and_is_kept_once_its_terminal_is_gone(tmp_path: Path) -> None:
    us, them = pty.openpty()
    fcntl.ioctl(them, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    environ = {**os.environ, "POURCOACH_HOME": str(tmp_path), "TERM": "xterm-256color"}
    program = subprocess.Popen(
        BREW, stdin=them, stdout=them, stderr=them, env=environ, start_new_session=True
    )
    try:
        os.close(them)
        while not any(b"\n[5." in tape.read_bytes() for tape in tmp_path.rglob("*.jsonl*")):
            assert select.select([us], [], [], PATIENCE_S)[0]
            os.read(us, 1 << 16)
        os.close(us)
        assert program.wait(PATIENCE_S) == -signal.SIGHUP
    finally:
        program.kill()
        program.wait()
    (tape,) = tmp_path.rglob("*.jsonl*")
    assert read_tape(tape).end_s is not None
