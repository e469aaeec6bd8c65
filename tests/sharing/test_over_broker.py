"""Through a real broker: what arrives, and what happens when it does not."""

import asyncio
import subprocess
import sys
import threading
import time
from pathlib import Path

import aiomqtt
import paho.mqtt.publish as publish
import pytest

from pourcoach.domain.advice import FlagKind
from pourcoach.sharing.broker import connected
from pourcoach.sharing.listener import Listener
from pourcoach.sharing.room import Room
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.tile import TileFinding
from tests.sharing.made_station import Brew, Library, one, sharer, tape_in, until
from tests.sharing.mosquitto import Mosquitto, needs_mosquitto
from tests.sharing.test_tape_parts import TAPE

pytestmark = [needs_mosquitto, pytest.mark.usefixtures("quick")]


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
from tests.sharing.made_station import Brew, sharer
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


def test_a_fault_of_the_program_is_reported(room: Room, tmp_path: Path) -> None:
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


def test_nothing_is_left_running(room: Room, tmp_path: Path) -> None:
    before = threading.active_count()
    library = Library()
    with Listener(room, library.land, library.has), sharer(room, tmp_path) as station:
        until(lambda: station.sent > 0)
    assert threading.active_count() <= before + 1  # a pool's idle thread may stay
