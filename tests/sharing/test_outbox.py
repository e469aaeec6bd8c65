from pathlib import Path

from pourcoach.sharing.outbox import Outbox, Waiting
from pourcoach.sharing.room import Room

ROOM = Room.parse("mqtt://localhost/morning")


def test_what_waits_is_remembered_until_it_has_arrived(tmp_path: Path) -> None:
    waiting = [Waiting(tmp_path / f"{n}.jsonl", str(n), n == 1) for n in range(2)]
    for each in waiting:
        Outbox(tmp_path / "outbox", ROOM).put(each)
    again = Outbox(tmp_path / "outbox", ROOM)
    assert again.all() == waiting
    again.drop(waiting[0].tape)
    again.drop(waiting[0].tape)
    assert again.all() == waiting[1:]


def test_another_room_has_its_own(tmp_path: Path) -> None:
    Outbox(tmp_path, ROOM).put(Waiting(tmp_path / "1.jsonl", "1", False))
    assert Outbox(tmp_path, Room.parse("mqtt://localhost/evening")).all() == []


def test_broken_entries_are_passed_over(tmp_path: Path) -> None:
    for name, text in (("a", ""), ("b", "[]"), ("c", "{}"), ("d", '{"room": 3}')):
        (tmp_path / f"{name}.json").write_text(text)
    assert Outbox(tmp_path, ROOM).all() == []
    assert Outbox(tmp_path / "nowhere", ROOM).all() == []
