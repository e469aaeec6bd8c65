"""Through a real broker: what arrives, and what happens when it does not."""

import asyncio
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import aiomqtt
import paho.mqtt.publish as publish
import pytest

from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.pour import Phase
from pourcoach.sharing.broker import connected
from pourcoach.sharing.listener import Listener
from pourcoach.sharing.outbox import Outbox
from pourcoach.sharing.room import Room
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.sharer import Sharer
from pourcoach.sharing.tape_parts import pack
from pourcoach.sharing.tile import TileFinding, tile_of
from tests.sharing.mosquitto import Mosquitto, needs_mosquitto
from tests.sharing.test_tape_parts import TAPE
from tests.tui.made_frames import make_frame

pytestmark = needs_mosquitto


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
    """Where recordings land; refuses as long as it is told to."""

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


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Mosquitto]:
    broker = Mosquitto(tmp_path)
    broker.start()
    yield broker
    broker.kill()


@pytest.fixture
def room(broker: Mosquitto) -> Room:
    return Room.parse(broker.address())


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pourcoach.sharing.broker.FIRST_WAIT_S", 0.05)
    monkeypatch.setattr("pourcoach.sharing.broker.LONGEST_WAIT_S", 0.1)
    monkeypatch.setattr("pourcoach.sharing.sharer.ANSWER_WITHIN_S", 0.2)
    monkeypatch.setattr("pourcoach.sharing.sharer.LONGEST_ANSWER_S", 0.4)


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


def test_tiles_and_findings_arrive_and_a_clean_end_is_gone(room: Room, tmp_path: Path) -> None:
    brew, library = Brew(), Library()
    with Listener(room, library.land, library.has) as wall:
        with sharer(room, tmp_path, brew):
            until(lambda: (seen := one(wall)) is not None and seen.standing is TileAge.LIVE)
            weights = [s.tile.weight_g for s in wall.seen() if s.tile]
            until(lambda: [s.tile.weight_g for s in wall.seen() if s.tile] > weights)
            finding = TileFinding("stall", "It stopped.", None, 3.0)
            brew.noted = [((FlagKind.STALL, None), finding)]
            until(lambda: (s := one(wall)) is not None and s.tile is not None
                  and s.tile.finding == finding)  # fmt: skip
        until(lambda: (seen := one(wall)) is not None and seen.standing is TileAge.GONE)
    assert wall.heard.refused.total() == 0


def test_a_recording_lands_once_and_whole_however_often_it_comes(
    room: Room, tmp_path: Path
) -> None:
    library = Library()
    tape = tape_in(tmp_path)
    with Listener(room, library.land, library.has), sharer(room, tmp_path) as station:
        for _ in range(2):
            station.send(tape, name=True)
            until(lambda: station.waiting == 0)
    assert list(library.kept.values()) == [TAPE]
    assert library.times == 1


def test_no_tile_waits_for_a_recording_to_be_put_away(room: Room, tmp_path: Path) -> None:
    library, may_land = Library(), threading.Event()

    def slow(station: str, hash_: str, content: bytes) -> None:
        may_land.wait(20.0)
        library.land(station, hash_, content)

    with Listener(room, slow, library.has) as wall, sharer(room, tmp_path) as station:
        station.send(tape_in(tmp_path), name=True)
        until(lambda: bool(wall._unfinished) or wall.heard.taken > 3)
        taken = wall.heard.taken
        until(lambda: wall.heard.taken > taken + 5)
        assert library.times == 0
        may_land.set()
        until(lambda: station.waiting == 0)
    assert list(library.kept.values()) == [TAPE]


def test_a_library_that_fails_is_told_and_tried_again(room: Room, tmp_path: Path) -> None:
    library, fails = Library(), [True]

    def land(station: str, hash_: str, content: bytes) -> None:
        if fails[0]:
            raise ZeroDivisionError("bug")
        library.land(station, hash_, content)

    with Listener(room, land, library.has) as wall, sharer(room, tmp_path) as station:
        station.send(tape_in(tmp_path), name=True)
        until(lambda: "ZeroDivisionError: bug" in str(wall.notice))
        fails[0] = False
        until(lambda: station.waiting == 0)
    assert library.times == 1


def test_a_recording_waits_for_the_wall_and_for_the_next_start(room: Room, tmp_path: Path) -> None:
    library = Library()
    with sharer(room, tmp_path) as station:
        station.send(tape_in(tmp_path), name=False)
        until(lambda: station.sent > 2)
        assert station.waiting == 1
    with Listener(room, library.land, library.has), sharer(room, tmp_path) as station:
        until(lambda: station.waiting == 0)
    (kept,) = library.kept.values()
    assert b"Ada" not in kept


def test_the_broker_is_killed_and_started_again_in_the_middle(
    broker: Mosquitto, room: Room, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    brew, library = Brew(), Library()
    library.full = True
    with Listener(room, library.land, library.has) as wall, sharer(room, tmp_path, brew) as station:
        station.send(tape_in(tmp_path), name=True)
        until(lambda: wall.notice is not None and "disk is full" in wall.notice)
        broker.kill()
        until(lambda: station.trouble is not None and wall.trouble is not None)
        assert "no connection to the broker" in str(wall.notice)
        # The brew goes on without it.
        looks = brew.looks
        brew.look()
        assert brew.looks > looks
        library.full = False
        broker.start()
        until(lambda: station.waiting == 0)
        until(lambda: (seen := one(wall)) is not None and seen.standing is TileAge.LIVE)
        assert station.trouble is None
    assert list(library.kept.values()) == [TAPE]
    assert library.times == 1
    # Nothing of it is printed over whatever a screen draws.
    assert capfd.readouterr() == ("", "")


def test_without_a_broker_a_station_says_so_and_ends_at_once(tmp_path: Path) -> None:
    broker = Mosquitto(tmp_path)
    with sharer(Room.parse(broker.address()), tmp_path) as station:
        until(lambda: station.trouble is not None)
        began_s = time.monotonic()
    assert station.sent == 0
    assert not station._thread.is_alive()
    assert time.monotonic() - began_s < 3.0


def test_hostile_messages_do_not_reach_the_others(
    broker: Mosquitto, room: Room, tmp_path: Path
) -> None:
    library = Library()
    with Listener(room, library.land, library.has) as wall, sharer(room, tmp_path) as station:
        evil = [
            {"topic": f"morning/{name}/{kind}", "payload": payload, "qos": 1}
            for name in ("1", "evil", "%1b%5b2J")
            for kind in ("tile", "finding", "here", "got", "tape/x/0", "tape/%2e%2e/0")
            for payload in (b"", b"{", b"\xff" * 50, b'{"tile": 7}', b"[" * 5000)
        ]
        publish.multiple(evil, "127.0.0.1", broker.port)
        until(lambda: wall.heard.refused.total() > 20)
        sent = station.sent
        until(lambda: station.sent > sent)
        until(lambda: any(s.name == "1" and s.standing is TileAge.LIVE for s in wall.seen()))
        assert all(seen.name.isprintable() for seen in wall.seen())
    assert library.kept == {}


def test_two_stations_of_one_name_are_said(room: Room, tmp_path: Path) -> None:
    library = Library()
    first, second = Brew(run="a"), Brew(run="b")
    with (
        Listener(room, library.land, library.has) as wall,
        sharer(room, tmp_path, first),
        sharer(room, tmp_path, second),
    ):
        until(lambda: (seen := one(wall)) is not None and "two stations" in (seen.trouble or ""))


KILLED = """
import sys
from pathlib import Path
from tests.sharing.test_over_broker import Brew, sharer
from pourcoach.sharing.room import Room
with sharer(Room.parse(sys.argv[1]), Path(sys.argv[2]), Brew("killed")):
    input()
"""


def test_a_killed_station_is_gone_by_its_last_will(
    broker: Mosquitto, room: Room, tmp_path: Path
) -> None:
    library = Library()
    with Listener(room, library.land, library.has) as wall:
        argv = [sys.executable, "-c", KILLED, broker.address(), str(tmp_path)]
        station = subprocess.Popen(argv, stdin=subprocess.PIPE)
        try:
            until(lambda: (seen := one(wall)) is not None and seen.standing is TileAge.LIVE)
        finally:
            station.kill()
            station.communicate()
        until(lambda: (seen := one(wall)) is not None and seen.standing is TileAge.GONE)


def test_a_fault_of_the_program_is_told(room: Room, tmp_path: Path) -> None:
    class Broken(Brew):
        def look(self) -> SeenStation:
            raise ZeroDivisionError("bug")

    with sharer(room, tmp_path, Broken()) as station:
        until(lambda: "ZeroDivisionError: bug" in (station.trouble or ""))


async def test_a_goodbye_that_fails_does_not_keep_it_alive(room: Room) -> None:
    up = asyncio.Event()

    async def talk(_client: aiomqtt.Client) -> None:
        try:
            await asyncio.Event().wait()
        except asyncio.CancelledError:
            raise aiomqtt.MqttError("the broker is gone") from None

    task = asyncio.create_task(connected(room, talk, lambda why: up.set() if why is None else None))
    await asyncio.wait_for(up.wait(), 20.0)
    task.cancel()
    await asyncio.wait({task}, timeout=20.0)
    assert task.cancelled()


def test_a_late_part_lands_nothing_again(room: Room, tmp_path: Path) -> None:
    library = Library()
    with Listener(room, library.land, library.has) as wall, sharer(room, tmp_path) as station:
        tape = tape_in(tmp_path)
        station.send(tape, name=True)
        until(lambda: station.waiting == 0)
        packed = pack(tape, name=True)
        again = [
            {"topic": f"morning/1/tape/{packed.hash}/{n}", "payload": packed.message(n), "qos": 1}
            for n in range(len(packed.parts) - 1, -1, -1)
        ]
        publish.multiple(again, "127.0.0.1", room.port)
        taken = wall.heard.taken
        until(lambda: wall.heard.taken > taken + 3)
        assert not wall._unfinished
    assert library.times == 1


def test_nothing_is_left_running(room: Room, tmp_path: Path) -> None:
    before = threading.active_count()
    library = Library()
    with Listener(room, library.land, library.has), sharer(room, tmp_path) as station:
        until(lambda: station.sent > 0)
    assert threading.active_count() <= before + 1  # a pool's idle thread may stay
