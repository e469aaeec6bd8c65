"""Recordings through a real broker: each lands once and whole, whatever happens on its way."""

import threading
from pathlib import Path

import paho.mqtt.publish as publish
import pytest

from pourcoach.sharing.listener import Listener
from pourcoach.sharing.room import Room
from pourcoach.sharing.tape_parts import pack
from tests.sharing.made_station import Library, sharer, tape_in, until
from tests.sharing.mosquitto import needs_mosquitto
from tests.sharing.test_tape_parts import TAPE

pytestmark = [needs_mosquitto, pytest.mark.usefixtures("quick")]


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


def test_a_library_that_fails_is_reported_and_tried_again(room: Room, tmp_path: Path) -> None:
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


def test_each_part_that_is_none_is_counted_once(room: Room, tmp_path: Path) -> None:
    library = Library()
    topic = f"morning/7/tape/{pack(tape_in(tmp_path), name=True).hash}/0"
    with Listener(room, library.land, library.has) as wall, sharer(room, tmp_path):
        until(lambda: wall.heard.taken > 1)
        rubbish = [{"topic": topic, "payload": b"rubbish", "qos": 1}] * 3
        publish.multiple(rubbish, "127.0.0.1", room.port)
        until(lambda: wall.heard.refused["7"] >= 3)
        taken = wall.heard.taken
        until(lambda: wall.heard.taken > taken + 1)
        assert wall.heard.refused["7"] == 3
    assert library.kept == {}
