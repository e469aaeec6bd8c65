"""A program that plays what is written to it: of the machine, or our own with the extra."""

import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from importlib.util import find_spec
from typing import NamedTuple

from pourcoach.domain.errors import WorkError
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Seconds
from pourcoach.sound.synthesis import RATE_HZ

BLOCK_FRAMES = RATE_HZ // 50
"""So many samples at once: a fiftieth of a second, in which nobody hears a delay."""
# The least that Linux gives a pipe: what waits in one is heard late. 43 ms.
PIPE_BYTES = 4096
AHEAD_S: Seconds = 0.06
"""Where a pipe cannot be made so small: so much is written ahead of its time."""
MOST_AHEAD_S: Seconds = 1.0
"""Where it can, a sound card holds the writer up before; what takes all at once is none."""
SETTLED_S: Seconds = 0.3
"""A player that cannot have the device ends at once; who has played for so long goes on."""
START_WITHIN_S: Seconds = 1.0
"""The longest that a brew waits for a player that takes nothing."""
CLOSE_WITHIN_S: Seconds = 1.0
LONGEST_WHY = 160
INSTALL = "install the extra: pip install 'pourcoach[sound]'"
CONNECT = "connect a speaker or headphones, or leave the sound out"

Pull = Callable[[int], bytes]
"""Gives the next so many samples."""


class PlayerProgram(NamedTuple):
    """How a program is asked to play mono samples of 16 bits from its standard input."""

    name: str
    command: Sequence[str]


def players() -> list[PlayerProgram]:
    """Those on this machine, the best first: with the extra, ALSA's, and that of PulseAudio, which
    PipeWire has, too."""
    found = []
    if _has_extra():
        found.append(PlayerProgram("miniaudio", (sys.executable, "-m", "pourcoach.sound.device")))
    asked = {
        "aplay": f"-q -t raw -f S16_LE -c 1 -r {RATE_HZ} --buffer-time=60000 -",
        "paplay": f"--raw --format=s16le --channels=1 --rate={RATE_HZ} --latency-msec=60",
    }
    for name, arguments in asked.items():
        path = shutil.which(name)
        if path is not None:
            found.append(PlayerProgram(name, (path, *arguments.split())))
    return found


class Player:
    """Plays from ``start`` to ``close``, in a thread of its own; what it is given never stops."""

    def __init__(self, pull: Pull) -> None:
        self.trouble: str | None = None
        """Why nothing is heard any more, in a sentence."""
        self._pull = pull
        self._process: subprocess.Popen[bytes] | None = None
        self._closing = False
        self._settled = threading.Event()
        self._thread = threading.Thread(target=self._run, name="sound", daemon=True)

    def start(self) -> None:
        """Returns once something plays, or soon; where nothing can, WorkError says why."""
        self._thread.start()
        self._settled.wait(START_WITHIN_S)
        if self.trouble is not None:
            raise WorkError(self.trouble, CONNECT if _has_extra() else INSTALL)

    def close(self) -> None:
        """Stop at once."""
        self._closing = True
        process = self._process
        if process is not None:
            process.kill()
        self._thread.join(CLOSE_WITHIN_S)

    def _run(self) -> None:
        why = "no player was found (aplay, paplay)"
        try:
            for program in players():
                why = f"{program.name}: {self._play(program)}"
                if self._closing or self._settled.is_set():
                    break
        except Exception as error:  # no fault of it is ever the brew's
            why = f"{type(error).__name__}: {error}"
        if not self._closing:
            self.trouble = printable(f"no sound: {why}", LONGEST_WHY)
        self._settled.set()

    def _play(self, program: PlayerProgram) -> str:
        """Until it ends; why it did."""
        try:
            process = subprocess.Popen(
                program.command,
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE,
                bufsize=0,
                # Ctrl+C is for the brew.
                start_new_session=True,
            )
        except OSError as error:
            return str(error.strerror)
        self._process = process
        with process:
            with suppress(OSError):
                self._write(process)
            process.kill()
            assert process.stderr is not None
            lines = process.stderr.read().decode("utf-8", "replace").split("\n")
        said = [line.strip() for line in lines if line.strip()]
        return said[-1] if said else "it has ended"

    def _write(self, process: subprocess.Popen[bytes]) -> None:
        """Raises OSError once the player is gone."""
        assert process.stdin is not None
        small = _make_small(process.stdin.fileno())
        began_s = time.monotonic()
        blocks = 0
        while not self._closing:
            block = self._pull(BLOCK_FRAMES)
            while block:
                block = block[process.stdin.write(block) or 0 :]
            blocks += 1
            ahead_s = blocks * BLOCK_FRAMES / RATE_HZ - (time.monotonic() - began_s)
            time.sleep(max(0.0, ahead_s - (MOST_AHEAD_S if small else AHEAD_S)))
            if not self._settled.is_set() and time.monotonic() - began_s > SETTLED_S:
                self._settled.set()


def _has_extra() -> bool:
    return find_spec("miniaudio") is not None


def _make_small(pipe: int) -> bool:
    """Whether the pipe now holds next to nothing, so that a write waits for the player."""
    if sys.platform != "linux":
        return False
    import fcntl

    try:
        return fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, PIPE_BYTES) <= os.sysconf("SC_PAGE_SIZE")
    except OSError:
        return False
