"""Brews ended in every bad way: killed, hung up, asked to end, read no further."""

import random
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from pourcoach.domain.errors import WorkError
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.tape import read_tape
from pourcoach.session.kept.keeping import take_up_lost_brews
from tests.attacks.command import home_at, started
from tests.attacks.tally import Tally

SMALL = 1
PATIENCE_S = 60.0
"""For a busy machine; what ends by itself ends in a second."""
SPEED = 40.0
SCALE = f"sim:steady?speed={SPEED:g}"


def attack(seed: int, size: int) -> Iterator[Tally]:
    """Each end some times, at any moment from the start on."""
    chance = random.Random(f"{seed} ends")
    count = SMALL * size
    yield _ended("kills (SIGKILL)", chance, count, signal.SIGKILL)
    yield _ended("hang-ups (SIGHUP)", chance, count, signal.SIGHUP)
    yield _ended("asked to end (SIGTERM)", chance, count, signal.SIGTERM)
    yield _early(chance, count)
    yield _reader_gone(chance, max(1, count // 2))


def _ended(name: str, chance: random.Random, count: int, number: signal.Signals) -> Tally:
    """At any moment of a brew; what was on the tape is entered by the next start."""
    tally = Tally(name)
    for _ in range(count):
        after_s = chance.uniform(0.6, 4.0)
        with tempfile.TemporaryDirectory() as folder, home_at(Path(folder)) as home:
            brew = started(home, "brew", "--scale", SCALE, "--plain", "--by", "Ada", "--no-config")
            time.sleep(after_s)
            brew.send_signal(number)
            tally.tried(_left(brew, home, f"after {after_s:.2f} s", number))
    return tally


def _left(
    brew: "subprocess.Popen[bytes]", home: Path, what: str, number: signal.Signals
) -> str | None:
    try:
        out, err = brew.communicate(timeout=PATIENCE_S)
    except subprocess.TimeoutExpired:
        brew.kill()
        brew.communicate()
        return f"{what}: did not end"
    if b"Traceback" in err:
        return f"{what}: {err.decode(errors='replace')[-300:]}"
    tapes = list((home / "tapes").glob("*")) if (home / "tapes").is_dir() else []
    for tape in tapes:
        try:
            read = read_tape(tape)
        except WorkError as error:
            return f"{what}: {error}"
        if not read.inputs:
            return f"{what}: a tape without an input is left"
        if number is not signal.SIGKILL and brew.returncode >= 0 and read.end_s is None:
            return f"{what}: the tape has no end"
        final_frame(read)
    if brew.returncode == 0 and out and not tapes and b"The recording is" in out:
        return f"{what}: names a recording that is not there"
    take_up_lost_brews()
    if tapes:
        with Library(library_path()) as library:
            if {brew.tape.name for brew in find_brews(library)} != {tape.name for tape in tapes}:
                return f"{what}: the next start does not enter it"
    return None


def _early(chance: random.Random, count: int) -> Tally:
    """While the program is still starting: no half tape."""
    tally = Tally("asked to end while starting")
    for _ in range(count):
        after_s = chance.uniform(0.0, 0.8)
        with tempfile.TemporaryDirectory() as folder, home_at(Path(folder)) as home:
            brew = started(home, "brew", "--scale", SCALE, "--plain", "--no-config")
            time.sleep(after_s)
            brew.send_signal(signal.SIGTERM)
            tally.tried(_left(brew, home, f"after {after_s:.2f} s", signal.SIGTERM))
    return tally


def _reader_gone(chance: random.Random, count: int) -> Tally:
    """``| head``: the brew goes on to its end, and is saved and entered."""
    tally = Tally("reader that goes away (| head)")
    for _ in range(count):
        lines = chance.randrange(1, 4)
        with tempfile.TemporaryDirectory() as folder, home_at(Path(folder)) as home:
            brew = started(home, "brew", "--scale", "sim:steady?speed=60", "--plain", "--no-config")
            assert brew.stdout is not None
            for _ in range(lines):
                brew.stdout.readline()
            brew.stdout.close()
            tally.tried(_whole(brew, home, f"after {lines} lines"))
    return tally


def _whole(brew: "subprocess.Popen[bytes]", home: Path, what: str) -> str | None:
    try:
        brew.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        brew.kill()
        brew.wait()
        return f"{what}: did not end"
    finally:
        if brew.stderr is not None:
            brew.stderr.close()
    tapes = list((home / "tapes").iterdir())
    if len(tapes) != 1:
        return f"{what}: {len(tapes)} tapes"
    last = final_frame(read_tape(tapes[0]))
    if last is None or last.pour.water_g < 300.0:
        return f"{what}: the brew was cut short"
    with Library(library_path()) as library:
        if len(find_brews(library)) != 1:
            return f"{what}: not entered"
    return None
