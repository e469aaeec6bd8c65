"""Recordings that arrive from other machines: imported once, by their content."""

import re
from contextlib import suppress

from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.library.importing import import_tapes, number_of_content
from pourcoach.library.library import Library, library_path
from pourcoach.places import OWNER_ONLY_FILE, data_folder, private_folder
from pourcoach.recordings.tape import TapeHeader

# Of the hash, in a file's name: enough that a class's recordings do not share one.
HASH_SHOWN = 12


def has_landed(hash_: str) -> bool:
    """Whether the library has the recording of that content."""
    if not library_path().exists():
        return False
    with Library(library_path()) as library:
        return number_of_content(library, hash_) is not None


def land(station: str, hash_: str, content: bytes) -> None:
    """Keep a recording and enter it; the same again changes nothing.

    Raises UsageError for what is no recording, WorkError where it cannot be kept.
    """
    del station  # a recording is distinguished by what is in it
    stem = re.sub(r"[^0-9T]", "", _header(content).recorded_at)[:15] or "undated"
    folder = data_folder() / "arriving"
    arriving = folder / f"{stem}-{hash_[:HASH_SHOWN]}.jsonl"
    try:
        private_folder(folder)
        arriving.write_bytes(content)
        arriving.chmod(OWNER_ONLY_FILE)
    except OSError as error:
        raise WorkError(f"cannot write {arriving}: {reason(error)}") from None
    try:
        with Library(library_path()) as library:
            refused = import_tapes(library, [arriving]).refused
    finally:
        with suppress(OSError):
            arriving.unlink()
    for _, why in refused:
        raise WorkError(why)


def _header(content: bytes) -> TapeHeader:
    line = content.partition(b"\n")[0]
    try:
        return TapeHeader.from_dict(from_json(line.decode("utf-8")))
    except (DocumentError, UnicodeDecodeError, ValueError, AttributeError, TypeError):
        raise UsageError("what came is no recording") from None
