"""Disks that fill up, folders that go, libraries that are locked, names that are none."""

import os
import shutil
import sqlite3
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import chdir, contextmanager, suppress
from pathlib import Path

from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.tape import read_tape
from pourcoach.session.kept.keeping import take_up_lost_brews
from tests.attacks.command import home_at, run_here, started
from tests.attacks.tally import Tally

SMALL = 1
BREW = ("brew", "--scale", "sim:steady?speed=100", "--plain", "--no-config")
LEAST_G = 300.0
PATIENCE_S = 60.0
DISK_BYTES = 1 << 20


def attack(seed: int, size: int) -> Iterator[Tally]:  # noqa: ARG001 - nothing is by chance
    """Each trouble some times; the brew is never lost."""
    count = SMALL * max(1, size // 5)
    for name, trouble in list(TROUBLES.items())[:: 3 if size == 1 else 1]:
        yield _troubled(name, trouble, count)
    yield _locked(count)
    yield _full(count)
    yield _names()


def _deleted(home: Path) -> None:
    for tape in (home / "tapes").iterdir():
        tape.unlink()


def _cut(home: Path) -> None:
    for tape in (home / "tapes").iterdir():
        os.truncate(tape, 200)


def _moved(home: Path) -> None:
    (home / "tapes").rename(home / "moved")


def _folder_deleted(home: Path) -> None:
    shutil.rmtree(home / "tapes")


def _library_broken(home: Path) -> None:
    (home / "library.sqlite3").write_bytes(b"no library" * 100)


TROUBLES: dict[str, Callable[[Path], None]] = {
    "tape deleted in mid-brew": _deleted,
    "tape cut in mid-brew": _cut,
    "tapes folder moved in mid-brew": _moved,
    "tapes folder deleted in mid-brew": _folder_deleted,
    "library broken in mid-brew": _library_broken,
}


def _troubled(name: str, trouble: Callable[[Path], None], count: int) -> Tally:
    tally = Tally(name)
    for _ in range(count):
        with tempfile.TemporaryDirectory() as folder, home_at(Path(folder)) as home:
            brew = started(home, *BREW)
            assert brew.stdout is not None
            line = b""
            while b"BLOOM" not in line and b"POUR" not in line:
                line = brew.stdout.readline()
                if not line:
                    break
            trouble(home)
            tally.tried(_saved(brew))
    return tally


def _saved(brew: "subprocess.Popen[bytes]") -> str | None:
    """Whether the last line names a recording, and it is whole."""
    try:
        out, err = brew.communicate(timeout=PATIENCE_S)
    except subprocess.TimeoutExpired:
        brew.kill()
        brew.communicate()
        return "did not end"
    if b"Traceback" in err:
        return err.decode(errors="replace")[-300:]
    lines = [line for line in out.decode().splitlines() if line.startswith("The recording is ")]
    if not lines:
        return f"names no recording: {err.decode()[-200:]}"
    path = Path(lines[-1].removeprefix("The recording is "))
    if not path.exists():
        return f"names {path}, which is not there"
    last = final_frame(read_tape(path))
    if last is None or last.pour.water_g < LEAST_G:
        return "the recording is not whole"
    return None if brew.returncode == 1 else f"exit {brew.returncode}, as if nothing had been"


def _locked(count: int) -> Tally:
    """Another program keeps the library locked; the next start enters the brew."""
    tally = Tally("library locked at the end")
    for _ in range(count):
        with tempfile.TemporaryDirectory() as folder, home_at(Path(folder)) as home:
            with Library(library_path()):
                pass
            lock = sqlite3.connect(library_path())
            lock.execute("BEGIN IMMEDIATE")
            failure = _saved(started(home, *BREW))
            lock.close()
            take_up_lost_brews()
            with Library(library_path()) as library:
                if failure is None and len(find_brews(library)) != 1:
                    failure = "not entered by the next start"
            tally.tried(failure)
    return tally


def _full(count: int) -> Tally:
    """A file system that is really full while the brew runs: the brew is saved elsewhere, also by
    one that is killed, and the next start with room enters it.
    """
    tally = Tally("full file system")
    for killed in (False, True) * count:
        with tempfile.TemporaryDirectory() as folder, _small_disk(Path(folder) / "disk") as disk:
            if disk is None:
                tally.note = "not tried: this user may mount no file system"
                break
            with home_at(disk / "home") as home:
                tally.tried(_saved_elsewhere(home, Path(folder) / "user", killed=killed))
    return tally


@contextmanager
def _small_disk(place: Path) -> Iterator[Path | None]:
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={DISK_BYTES}", "tmpfs", str(place)]
    try:
        may = subprocess.run(mount, check=False, capture_output=True).returncode == 0
    except OSError:
        may = False
    try:
        yield place if may else None
    finally:
        if may:
            subprocess.run(["umount", str(place)], check=True)


def _saved_elsewhere(home: Path, user: Path, *, killed: bool) -> str | None:
    """``user`` is the folder on another disk that the brewer has."""
    user.mkdir()
    with Library(library_path()):
        pass
    before = os.environ.get("HOME")
    os.environ["HOME"] = str(user)
    filler = home / "filler"
    try:
        brew = started(home, *BREW, home=user)
        assert brew.stdout is not None
        line = b"-"
        while line and b"BLOOM" not in line and b"POUR" not in line:
            line = brew.stdout.readline()
        with suppress(OSError), filler.open("wb", buffering=0) as full:
            while full.write(b"x" * 512):
                pass
        if killed:
            time.sleep(1.0)
            brew.kill()
            brew.communicate()
        elif failure := _saved(brew):
            return failure
        filler.unlink()
        take_up_lost_brews()
        with Library(library_path()) as library:
            tapes = [one.tape for one in find_brews(library)]
        if len(tapes) != 1:
            return f"{len(tapes)} brews entered by the next start"
        last = final_frame(read_tape(tapes[0]))
        if not killed and (last is None or last.pour.water_g < LEAST_G):
            return "the recording that was entered is not whole"
        return None
    finally:
        if before is not None:
            os.environ["HOME"] = before


def _names() -> Tally:
    """Files whose names are no text, too long, a folder, a pipe, nothing."""
    tally = Tally("names that are none")
    with (
        tempfile.TemporaryDirectory() as folder,
        tempfile.TemporaryDirectory() as empty,
        # Some of these names are the folder itself: in the project's all its tapes would be judged.
        chdir(empty),
        home_at(Path(folder) / "home"),
    ):
        pipe = Path(folder) / "pipe.jsonl"
        os.mkfifo(pipe)
        names = [
            os.fsdecode(b"\xff\xfe.jsonl"), "a" * 300 + ".jsonl", "b/" * 2500 + "c.jsonl", "\x00",
            "", ".", folder, "/dev/null", "/proc/self/mem", "/root/none/of/this.jsonl", "-", "~",
        ]  # fmt: skip
        before = set(os.listdir(folder))
        for name in names:
            path = str(Path(folder) / name) if name and name[0] not in "/.-~\x00" else name
            for argv in (
                ("analyse", path),
                ("analyse", path, "--json"),
                ("replay", path, "--plain"),
                ("plan", "--plan", path),
                ("check", "--from", path),
                ("strength", "--recording", path, "--tds", "1.3"),
                ("brew", "--scale", f"tape:{path}", "--plain"),
                ("brew", "--scale", f"serial:{path}", "--plain"),
            ):
                tally.tried(run_here(*argv).failure(repr(argv)[:100]))
        # A pipe in a folder of tapes is passed over, not waited for.
        tally.tried(run_here("analyse", folder).failure("a folder with a pipe"))
        left = set(os.listdir(folder)) - before - {"home"}
        tally.tried(f"left behind: {left}" if left else None)
    return tally
