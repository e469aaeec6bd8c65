"""Entering brews in the library: at their end, or at the next start where that was not possible."""

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.printable import json_text
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import Library, library_path
from pourcoach.library.looking import look_through
from pourcoach.library.people import learn_reaction
from pourcoach.library.records import Taken
from pourcoach.places import data_folder, tapes_folder
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.spare import fetch_back, spare_folders
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.tape_file import in_use
from pourcoach.recordings.writer import TapeWriter
from pourcoach.text_file import append_line

MOST_AT_START = 50
"""Recordings read at a start, some milliseconds each: whoever put a thousand into the folder is not
kept from brewing by it. The list of brews reads the rest."""


@dataclass(frozen=True, slots=True)
class Keeping:
    """What the library is to know of a brew under way."""

    tape: TapeWriter
    header: TapeHeader
    learns: bool
    """Whether a person stops the pours: how a simulated hand or somebody's recording stops says
    nothing of the brewer's own lead."""

    def keep(self, last: Frame) -> None:
        """After the brew: enter it, and what was learnt of the brewer's lead.

        Raises WorkError where the library refuses; the brew is then entered at the next start.
        """
        path = self.tape.kept
        if path is None:
            return
        try:
            with Library(library_path()) as library:
                enter_tape(library, path)
                if self.learns and self.header.by is not None and last.reaction_s is not None:
                    learn_reaction(library, self.header.by, last.reaction_s)
        except WorkError:
            _put_off(path)
            raise


def take_up_lost_brews() -> None:
    """Enter what an earlier run left: killed, hung up, or refused by the library.

    Tapes that lie in spare folders are fetched back first. What cannot be done now is left for
    the next start; nothing is raised.
    """
    with suppress(OSError, WorkError):
        fetched = fetch_back(spare_folders(), tapes_folder())
        if fetched or _put_off_ones() or tapes_in(tapes_folder()) or library_path().exists():
            with Library(library_path()) as library:
                take_up(library, MOST_AT_START)


def take_up(library: Library, most: int | None = None) -> Taken:
    """The same in a library that is open, and whatever else happened to the tapes meanwhile; of
    those, up to ``most``.

    Raises WorkError where the library refuses.
    """
    with suppress(OSError):
        fetch_back(spare_folders(), tapes_folder())
    waiting = _put_off_ones()
    under_way = [path for path in waiting if in_use(path)]
    for path in waiting:
        with suppress(WorkError):
            if path not in under_way:
                enter_tape(library, path)
    taken = look_through(library, most)
    with suppress(OSError):
        _put_off_path().unlink(missing_ok=True)
    for path in under_way:
        _put_off(path)
    return taken


def remember(path: Path) -> None:
    """Of a tape that is begun: outside the tapes folder nothing would find it if its program were
    killed.
    """
    if not path.resolve().is_relative_to(tapes_folder().resolve()):
        _put_off(path)


def _put_off_path() -> Path:
    return data_folder() / "to-enter.jsonl"


def _put_off(path: Path) -> None:
    """Remember a brew for the next start. Where that fails, its tape is still found if it is in the
    tapes folder.
    """
    with suppress(OSError, WorkError):
        append_line(_put_off_path(), json_text({"tape": str(path.resolve())}))


def _put_off_ones() -> list[Path]:
    """Brews that wait to be entered, each once."""
    found: dict[Path, None] = {}
    with suppress(OSError):
        for line in _put_off_path().read_text(encoding="utf-8", errors="replace").splitlines():
            with suppress(DocumentError, KeyError, TypeError):
                found[Path(str(from_json(line)["tape"]))] = None
    return list(found)
