from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.sharing.outbox import Outbox
from pourcoach.sharing.room import Room
from tests.sharing.test_tape_parts import TAPE

ROOM = Room.parse("mqtt://localhost/morning")
EVENING = Room.parse("mqtt://localhost/evening")


def tape(path: Path, more: bytes = b"") -> Path:
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(TAPE.replace(b"Ada", b"Ada" + more))
    return path


def test_what_waits_is_remembered_until_it_has_arrived(tmp_path: Path) -> None:
    outbox = Outbox(tmp_path / "outbox", ROOM)
    for number in range(2):
        made = tape(tmp_path / f"{number}.jsonl", str(number).encode())
        outbox.put(made, str(number), name=number == 1)
    again = Outbox(tmp_path / "outbox", ROOM)
    first, second = again.all()
    assert (first.tape, first.station, first.name) == (tmp_path / "0.jsonl", "0", False)
    assert (second.tape, second.station, second.name) == (tmp_path / "1.jsonl", "1", True)
    again.drop(first)
    again.drop(first)
    assert again.all() == [second]


def test_two_tapes_of_one_name_both_wait(tmp_path: Path) -> None:
    outbox = Outbox(tmp_path / "outbox", ROOM)
    for folder in ("a", "b"):
        outbox.put(tape(tmp_path / folder / "brew.jsonl", folder.encode()), "1", name=True)
    waiting = outbox.all()
    assert {each.tape.parent.name for each in waiting} == {"a", "b"}
    outbox.drop(waiting[0])
    assert outbox.all() == waiting[1:]


def test_one_content_waits_once_for_each_room_and_station(tmp_path: Path) -> None:
    brew, copy = tape(tmp_path / "a" / "brew.jsonl"), tape(tmp_path / "b" / "copy.jsonl")
    for room in (ROOM, EVENING):
        outbox = Outbox(tmp_path / "outbox", room)
        for each in (brew, copy):
            outbox.put(each, "1", name=True)
        outbox.put(brew, "2", name=True)
        assert sorted(each.station for each in outbox.all()) == ["1", "2"]


def test_a_tape_that_is_gone_can_still_be_dropped(tmp_path: Path) -> None:
    outbox = Outbox(tmp_path / "outbox", ROOM)
    brew = tape(tmp_path / "brew.jsonl")
    outbox.put(brew, "1", name=True)
    brew.unlink()
    outbox.drop(outbox.all()[0])
    assert outbox.all() == []


def test_what_is_no_tape_is_not_remembered(tmp_path: Path) -> None:
    outbox = Outbox(tmp_path / "outbox", ROOM)
    with pytest.raises(WorkError):
        outbox.put(tmp_path / "nowhere.jsonl", "1", name=True)
    assert outbox.all() == []


def test_entries_of_earlier_versions_are_sent_and_broken_ones_passed_over(tmp_path: Path) -> None:
    for name, text in (("a", ""), ("b", "[]"), ("c", "{}"), ("d", '{"room": 3}')):
        (tmp_path / f"{name}.json").write_text(text)
    (tmp_path / "brew.jsonl.json").write_text(
        f'{{"room": "{ROOM}", "tape": "/tapes/brew.jsonl", "station": "1", "name": true}}'
    )
    outbox = Outbox(tmp_path, ROOM)
    (old,) = outbox.all()
    assert old.tape == Path("/tapes/brew.jsonl")
    outbox.drop(old)
    assert outbox.all() == []
    assert Outbox(tmp_path / "nowhere", ROOM).all() == []
