"""The brewer's own words, kept in the library with the brew's tape."""

from datetime import datetime
from pathlib import Path

from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Remark, RemarkKind
from pourcoach.recordings.tape import read_tape


def keep_remark(tape: Path, kind: RemarkKind, text: str) -> None:
    """Keep ``text`` with the brew on ``tape``, which is entered if it is not there yet.

    Raises WorkError where tape or library cannot be used.
    """
    header = read_tape(tape).header
    made_at = datetime.now().astimezone().isoformat(timespec="seconds")
    with Library(library_path()) as library:
        library.keep_brew(tape, header.recorded_at or made_at, header.by)
        library.add_remark(tape, Remark(kind, text, made_at))
