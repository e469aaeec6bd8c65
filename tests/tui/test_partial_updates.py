"""What reaches the terminal: many small updates must add up to the whole screen."""

import os
import select
import struct
import subprocess
import sys
import time
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

import pty
import termios
from fcntl import ioctl

import pyte

WIDTH, HEIGHT = 100, 30
PATIENCE_S = 60.0
QUIET_S = 0.3
# Readline puts LINES and COLUMNS into the environment of what starts the tests, and they would win
# over the size of the terminal.
ENVIRONMENT = {
    **{name: value for name, value in os.environ.items() if name not in {"LINES", "COLUMNS"}},
    "TERM": "xterm-256color",
    "COLORTERM": "truecolor",
}


def test_small_updates_add_up_to_the_whole_screen(tmp_path: Path) -> None:
    """A terminal that got only what changed shows what the program holds."""
    out = tmp_path / "screen.txt"
    us, them = pty.openpty()
    ioctl(them, termios.TIOCSWINSZ, struct.pack("HHHH", HEIGHT, WIDTH, 0, 0))
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.tui.drawn_brew", str(out)],
        stdin=them,
        stdout=them,
        stderr=them,
        env=ENVIRONMENT,
    )
    os.close(them)
    screen = pyte.Screen(WIDTH, HEIGHT)
    stream = pyte.ByteStream(screen)
    until = time.monotonic() + PATIENCE_S
    shown, held = "", None
    try:
        while shown != held and time.monotonic() < until:
            if select.select([us], [], [], QUIET_S)[0]:
                stream.feed(_read(us))
            elif out.exists():
                held = out.read_text(encoding="utf-8")
                shown = "\n".join(row.rstrip() for row in screen.display)
        assert shown == held
        os.write(us, b"qy")
        while _read(us):
            pass
        assert child.wait(PATIENCE_S) == 0
    finally:
        child.kill()
        child.wait()
        os.close(us)


def _read(us: int) -> bytes:
    """What has come; nothing once the other end is closed, which Linux reports by an error."""
    try:
        return os.read(us, 1 << 16)
    except OSError:
        return b""
