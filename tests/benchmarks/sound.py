"""How long after a change of word its sound begins.

Run: ``python -m tests.benchmarks.sound [WORDS]``, a hundred by default. A player stands in for the
machine's: it takes samples as fast as a sound card does, and notes when the first that is not
silence comes to it. What a real one holds back comes on top: 60 ms are asked of aplay and paplay,
40 ms of the extra. Beside it stands what the sound costs this process while nothing changes.
"""

import contextlib
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path
from unittest.mock import patch

from pourcoach.domain.advice import Word
from pourcoach.sound.sound import Sound
from pourcoach.sound.synthesis import RATE_HZ
from pourcoach.sound.voice import Wanted
from tests.page.boards import FakeBoard, pouring

_PLAYER = f"""#!{sys.executable} -S
import os, sys, time
began, count, silent = time.monotonic(), 0, True
with open(os.path.dirname(sys.argv[0]) + "/begins", "a", buffering=1) as begins:
    while data := os.read(0, {RATE_HZ // 50}):
        now = not any(data)
        if silent and not now:
            print(time.monotonic(), file=begins)
        silent = now
        count += len(data)
        time.sleep(max(0.0, began + count / {2 * RATE_HZ} - time.monotonic()))
"""
QUIET_S = 5.0


def main() -> None:
    words = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    with tempfile.TemporaryDirectory() as folder:
        program = Path(folder) / "aplay"
        program.write_text(_PLAYER)
        program.chmod(0o755)
        begins = Path(folder) / "begins"
        board = FakeBoard()
        with (
            patch.dict(os.environ, {"PATH": folder}),
            patch("pourcoach.sound.player.find_spec", lambda _: None),
            Sound(board, Wanted(), 1.0, print),
        ):
            changed = []
            for number in range(words):
                # Over before the next one, and never in step with the blocks.
                time.sleep(0.45 + 0.0137 * (number % 7))
                changed.append(time.monotonic())
                board.stations = [pouring(word=(Word.STOP, Word.WAIT)[number % 2])]
            time.sleep(0.5)
            cpu_s = time.process_time()
            time.sleep(QUIET_S)
            cpu = (time.process_time() - cpu_s) / QUIET_S
        heard = [float(line) for line in begins.read_text().split()]
    late_ms = []
    for at_s, until_s in zip(changed, [*changed[1:], float("inf")], strict=True):
        with contextlib.suppress(StopIteration):
            late_ms.append(1000 * (next(h for h in heard if at_s <= h < until_s) - at_s))
    late_ms.sort()
    print(f"words {words}  heard {len(late_ms)}")
    print(
        f"to the player: median {statistics.median(late_ms):.0f} ms"
        f"  p95 {late_ms[int(0.95 * len(late_ms))]:.0f} ms  most {late_ms[-1]:.0f} ms"
    )
    print(f"CPU while nothing changes {cpu:.1%}")


if __name__ == "__main__":
    main()
