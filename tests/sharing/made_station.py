"""A station that shares, what takes its recordings, and waiting for the one to reach the other."""

import time
from collections.abc import Callable
from pathlib import Path

from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.pour import Phase
from pourcoach.sharing.listener import Listener
from pourcoach.sharing.outbox import Outbox
from pourcoach.sharing.room import Room
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.sharer import Sharer
from pourcoach.sharing.tile import TileFinding, tile_of
from tests.sharing.test_tape_parts import TAPE
from tests.tui.made_frames import make_frame


class Brew:
    """A brew that is shared: its weight rises with each look."""

    def __init__(self, name: str = "1", run: str = "a") -> None:
        self.name, self.run, self.looks = name, run, 0
        self.noted: list[tuple[tuple[FlagKind, str | None], TileFinding]] = []

    def look(self) -> SeenStation:
        self.looks += 1
        frame = make_frame(20.0, Word.POUR, float(self.looks), phase=Phase.POURING)
        tile = tile_of(frame, 20.0, station=self.name, at="", run=self.run, number=self.looks)
        return SeenStation(self.name, TileAge.LIVE, tile, 0.0)

    def findings(self) -> list[tuple[tuple[FlagKind, str | None], TileFinding]]:
        return self.noted


class Library:
    """Where recordings land; refuses as long as it is asked to."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}
        self.times = 0
        self.full = False

    def land(self, station: str, hash_: str, content: bytes) -> None:
        if self.full:
            raise WorkError(f"the disk is full: {station}")
        self.times += 1
        self.kept[hash_] = content

    def has(self, hash_: str) -> bool:
        return hash_ in self.kept


def until(holds: Callable[[], bool], within_s: float = 20.0) -> None:
    """Wait for another thread; a busy machine may take long."""
    until_s = time.monotonic() + within_s
    while not holds():
        assert time.monotonic() < until_s, "it never came"
        time.sleep(0.01)


def sharer(room: Room, folder: Path, brew: Brew | None = None) -> Sharer:
    brew = brew or Brew()
    return Sharer(room, brew.name, brew, Outbox(folder / "outbox", room), brew.run)


def one(listener: Listener) -> SeenStation | None:
    seen = listener.seen()
    return seen[0] if seen else None


def tape_in(folder: Path) -> Path:
    path = folder / "brew.jsonl"
    path.write_bytes(TAPE)
    return path
