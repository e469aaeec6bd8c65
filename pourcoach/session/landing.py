"""Recordings that arrive from other machines, put away once and entered in the library."""

import os
import re
from contextlib import suppress
from pathlib import Path

from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.library.library import Library, library_path
from pourcoach.places import OWNER_ONLY_FILE, private_folder, tapes_folder
from pourcoach.recordings.tape import TapeHeader, header_of

# Enough of a SHA-256 that no two recordings of any class share it.
HASH_SHOWN = 16


def has_landed(hash_: str) -> bool:
    """Whether the recording of that hash is here."""
    return _landed_as(hash_) is not None


def land(station: str, hash_: str, content: bytes) -> Path:
    """Keep a recording under a name that holds its hash; the same again changes nothing.

    Raises UsageError for what is no recording, WorkError where it cannot be kept.
    """
    del station  # the recording is told apart by what is in it
    there = _landed_as(hash_)
    if there is not None:
        return there
    header = _header(content)
    stem = re.sub(r"[^0-9T]", "", header.recorded_at)[:15] or "undated"
    path = tapes_folder() / f"{stem}-{hash_[:HASH_SHOWN]}.jsonl"
    new = path.with_suffix(f".{os.getpid()}.new")
    try:
        private_folder(path.parent)
        with new.open("xb") as file:
            new.chmod(OWNER_ONLY_FILE)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(new, path)
    except OSError as error:
        with suppress(OSError):
            new.unlink(missing_ok=True)
        raise WorkError(f"cannot write {path}: {reason(error)}") from None
    with Library(library_path()) as library:
        library.keep_brew(path, header_of(path).recorded_at or "", header.by)
    return path


def _landed_as(hash_: str) -> Path | None:
    with suppress(OSError):
        return next(iter(tapes_folder().glob(f"*-{hash_[:HASH_SHOWN]}.jsonl")), None)
    return None


def _header(content: bytes) -> TapeHeader:
    line = content.partition(b"\n")[0]
    try:
        return TapeHeader.from_dict(from_json(line.decode("utf-8")))
    except (DocumentError, UnicodeDecodeError, ValueError, AttributeError, TypeError):
        raise UsageError("what came is no recording") from None
