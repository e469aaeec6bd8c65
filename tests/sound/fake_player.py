"""A player of the machine that plays to nobody: it takes samples as fast as a sound card would, and
keeps what it was given."""

import os
import stat
import sys
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

from pourcoach.sound.synthesis import RATE_HZ

_SCRIPT = """#!{python} -S
import os, sys, time
folder = {folder!r}
with open(folder + "/asked", "a") as asked:
    print(" ".join(sys.argv), file=asked)
{act}
"""
_PLAYS = """
began, count = time.monotonic(), 0
with open(folder + "/heard", "ab", buffering=0) as heard:
    while data := os.read(0, {block}):
        heard.write(data)
        count += len(data)
        time.sleep(max(0.0, began + count / {rate} - time.monotonic()))
"""


class FakePlayer:
    """Programs of the machine as an otherwise empty PATH has them."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self._folder = folder
        monkeypatch.setenv("PATH", str(folder))
        # What this machine has is none of the test's business.
        monkeypatch.setattr("pourcoach.sound.player.find_spec", lambda _: None)

    def plays(self, name: str = "aplay") -> None:
        """Let there be one that plays."""
        self._put(name, _PLAYS.format(block=RATE_HZ // 50, rate=2 * RATE_HZ))

    def fails(self, name: str = "aplay", why: str = "audio open error: no such device") -> None:
        """Let there be one that cannot have the device."""
        self._put(name, f"print('a remark', {why!r}, sep='\\n', file=sys.stderr)\nsys.exit(1)")

    def swallows(self, name: str) -> None:
        """Let there be one that takes all that it is given at once."""
        self._put(name, _PLAYS.format(block=RATE_HZ, rate=float("1e30")))

    def takes_nothing(self, name: str) -> None:
        """Let there be one that hangs."""
        self._put(name, "time.sleep(60)")

    def only_asked(self, name: str) -> None:
        """Let there be one that does nothing else but keep what it was asked for."""
        self._put(name, "")

    def _put(self, name: str, act: str) -> None:
        program = self._folder / name
        text = _SCRIPT.format(python=sys.executable, folder=str(self._folder), act=act)
        program.write_text(text)
        program.chmod(program.stat().st_mode | stat.S_IXUSR)

    @property
    def asked(self) -> list[str]:
        """The commands, without the folder."""
        path = self._folder / "asked"
        text = path.read_text() if path.exists() else ""
        return [line.removeprefix(str(self._folder) + os.sep) for line in text.splitlines()]

    @property
    def heard(self) -> npt.NDArray[np.float64]:
        """All samples so far, -1 to 1."""
        path = self._folder / "heard"
        data = path.read_bytes() if path.exists() else b""
        return np.frombuffer(data[: len(data) // 2 * 2], "<i2") / 32_767


def loudest_hz(samples: npt.NDArray[np.float64]) -> float:
    """The frequency that is strongest."""
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    return float(np.argmax(spectrum) * RATE_HZ / len(samples))
