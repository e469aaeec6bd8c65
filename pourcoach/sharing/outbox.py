"""Recordings that are still to be sent: kept in files, so that the next start goes on with them."""

import hashlib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pourcoach.domain.errors import WorkError
from pourcoach.domain.printable import json_text
from pourcoach.recordings.contents import contents_of
from pourcoach.sharing.room import Room
from pourcoach.text_file import read_json, write_atomically


@dataclass(frozen=True, slots=True)
class Waiting:
    """One recording that is to be sent."""

    tape: Path
    station: str
    name: bool
    """Whether the brewer's name goes with it."""
    entry: Path
    """The file that remembers it."""


class Outbox:
    """One file in ``folder`` for each recording by its content: two tapes in two folders may have
    one name."""

    def __init__(self, folder: Path, room: Room) -> None:
        self._folder = folder
        self._room = str(room)

    def put(self, tape: Path, station: str, *, name: bool) -> None:
        """Remember it; the same again is one entry. WorkError where the tape cannot be read or the
        entry not be written."""
        content = contents_of(tape).content
        # What goes to two rooms, or from two stations, waits for each by itself.
        key = hashlib.sha256(json_text([self._room, station, content]).encode()).hexdigest()
        entry = {
            "room": self._room,
            "tape": str(tape.resolve()),
            "station": station,
            "name": name,
        }
        write_atomically(self._folder / f"{key}.json", json_text(entry) + "\n")

    def drop(self, waiting: Waiting) -> None:
        """It has arrived, or is there no longer."""
        with suppress(OSError):
            waiting.entry.unlink(missing_ok=True)

    def all(self) -> list[Waiting]:
        """What waits for this room, by the tapes' names, which begin with their dates; broken
        entries are passed over."""
        found = []
        with suppress(OSError):
            for path in self._folder.glob("*.json"):
                with suppress(WorkError, KeyError, TypeError):
                    entry = read_json(path, "an entry of the outbox")
                    if entry["room"] == self._room:
                        tape, station = Path(str(entry["tape"])), str(entry["station"])
                        found.append(Waiting(tape, station, entry["name"] is True, path))
        return sorted(found, key=lambda each: (each.tape.name, each.entry.name))
