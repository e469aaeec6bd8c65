"""The reference firmware's process, with its converter's load and its serial line in our hands."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

FIRMWARE = Path(__file__).parents[2] / "firmware_notes" / "firmware"
FAKE_BOARD = Path(__file__).with_name("fake_board.py")
# Beside this Python, or that of another environment on the path.
MICROPYTHON = shutil.which("micropython", path=str(Path(sys.executable).parent)) or shutil.which(
    "micropython"
)

PATIENCE_S = 60.0
"""For a busy machine: the board's clock stands still while it is not let run."""


class Board:
    """The firmware's process, with its converter's load and its serial line in our hands."""

    def __init__(self, load_file: Path) -> None:
        self.port = ""
        self._load_file = load_file
        self._heard = b""
        self._process: subprocess.Popen[bytes] | None = None
        self._ours, self._theirs = os.openpty()
        import tty

        tty.setraw(self._theirs)

    def load(self, grams: float | str) -> None:
        new = self._load_file.with_suffix(".new")
        new.write_text(str(grams))
        new.replace(self._load_file)

    def start(self, load: float | str = 0, *, hz: int = 80, cells: int = 1) -> None:
        self.load(load)
        self.port = os.ttyname(self._theirs)
        self._process = subprocess.Popen(
            [MICROPYTHON, FAKE_BOARD, FIRMWARE, str(hz), self._load_file, str(cells)],
            stdin=self._ours,
            stdout=self._ours,
        )

    def say(self, *lines: str) -> None:
        os.write(self._theirs, "".join(line + "\n" for line in lines).encode())

    def interrupt(self, times: int = 1) -> None:
        """Press Ctrl+C."""
        os.write(self._theirs, b"\x03" * times)

    def hear(self, enough: Callable[[bytes], bool]) -> bytes:
        """What it has sent since the last time, once it is enough."""
        until_s = time.monotonic() + PATIENCE_S
        os.set_blocking(self._theirs, False)
        while not enough(self._heard):
            assert time.monotonic() < until_s, self._heard
            try:
                self._heard += os.read(self._theirs, 4096)
            except BlockingIOError:
                time.sleep(0.01)
        heard, self._heard = self._heard, b""
        return heard

    def hear_lines(self, count: int, kind: bytes = b"w,") -> bytes:
        return self.hear(lambda heard: heard.endswith(b"\n") and heard.count(kind) >= count)

    def ended(self) -> int:
        """Its exit status, once it has ended by itself."""
        assert self._process is not None
        return self._process.wait(PATIENCE_S)

    def stop(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.wait()
        os.close(self._theirs)
        os.close(self._ours)
