"""Recordings that are still to be sent: kept in files, so that the next start goes on with them."""

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pourcoach.domain.errors import WorkError
from pourcoach.domain.printable import json_text
from pourcoach.sharing.room import Room
from pourcoach.text_file import read_json, write_atomically


@dataclass(frozen=True, slots=True)
class Waiting:
    """One recording that is to be sent."""

    tape: Path
    station: str
    name: bool
    """Whether the brewer's name goes with it."""


class Outbox:
    """One file a recording, in ``folder``."""

    def __init__(self, folder: Path, room: Room) -> None:
        self._folder = folder
        self._room = str(room)

    def put(self, waiting: Waiting) -> None:
        """Remember it. WorkError where that cannot be."""
        entry = {
            "room": self._room,
            "tape": str(waiting.tape.resolve()),
            "station": waiting.station,
            "name": waiting.name,
        }
        write_atomically(self._path(waiting.tape), json_text(entry) + "\n")

    def drop(self, tape: Path) -> None:
        """It has arrived, or is there no longer."""
        with suppress(OSError):
            self._path(tape).unlink(missing_ok=True)

    def all(self) -> list[Waiting]:
        """What waits for this room, the oldest first; broken entries are passed over."""
        found = []
        with suppress(OSError):
            for path in sorted(self._folder.glob("*.json")):
                with suppress(WorkError, KeyError, TypeError):
                    entry = read_json(path, "an entry of the outbox")
                    if entry["room"] == self._room:
                        tape = Path(str(entry["tape"]))
                        found.append(Waiting(tape, str(entry["station"]), entry["name"] is True))
        return found

    def _path(self, tape: Path) -> Path:
        return self._folder / f"{tape.name}.json"
