"""Adds lines to a finished tape, and takes a name off one; all of it or nothing."""

import gzip
import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from pourcoach.domain.documents import json_object
from pourcoach.domain.errors import WorkError, reason
from pourcoach.places import OWNER_ONLY_FILE
from pourcoach.recordings.bounded_lines import BrokenLineError, bounded_lines

if sys.platform != "win32":
    import fcntl


def append_lines(path: Path, lines: Sequence[dict[str, Any]]) -> None:
    """Put objects at the tape's end, one a line; a packed tape gets a packed part of its own.

    Raises WorkError, and leaves the file as it was, where it cannot be written or is being
    recorded now.
    """
    if not lines:
        return
    text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
    data = text.encode("utf-8", "backslashreplace")
    packed = path.name.endswith(".gz")
    if not _ends_its_line(path, packed=packed):
        data = b"\n" + data
    if packed:
        data = gzip.compress(data, mtime=0)
    with _telling(path), path.open("r+b", buffering=0) as file:
        _lock(file.fileno(), path)
        size = file.seek(0, os.SEEK_END)
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[file.write(rest) :]
            os.fsync(file.fileno())
        except OSError:
            # A full disk: half a line is worse than none.
            with suppress(OSError):
                file.truncate(size)
            raise


def rewrite(path: Path, change: Callable[[dict[str, Any]], dict[str, Any] | None]) -> bool:
    """Write the tape anew with each JSON object in it changed; None leaves the line out.

    Readings and what cannot be read stay as they are, byte for byte; so does a file in which
    nothing changes. Gives whether anything did. Raises WorkError, the old file unharmed, where it
    cannot be written.
    """
    data = bytearray()
    changed = False
    with bounded_lines(path) as lines:
        try:
            for line in lines:
                new = _changed(line, change)
                changed = changed or new != line
                if new is not None:
                    data += new + b"\n"
        except BrokenLineError:
            # What follows is not read by anything; it may hold what was to be changed.
            pass
    if not changed:
        return False
    whole = gzip.compress(bytes(data), mtime=0) if path.name.endswith(".gz") else bytes(data)
    new_path = path.with_name(f".{path.name}.{os.getpid()}.new")
    with _telling(path):
        with path.open("rb") as old:
            _lock(old.fileno(), path)
        try:
            handle = os.open(new_path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY_FILE)
            with os.fdopen(handle, "wb") as file:
                file.write(whole)
                file.flush()
                os.fsync(file.fileno())
            os.replace(new_path, path)
        except OSError:
            new_path.unlink(missing_ok=True)
            raise
    return True


def _changed(
    line: bytes, change: Callable[[dict[str, Any]], dict[str, Any] | None]
) -> bytes | None:
    if not line.startswith(b"{"):
        return line
    data = json_object(line)
    if data is None:
        return line
    new = change(data)
    if new is None:
        return None
    if new == data:
        return line
    return json.dumps(new, ensure_ascii=False).encode("utf-8", "backslashreplace")


def _ends_its_line(path: Path, *, packed: bool) -> bool:
    if packed:
        last = b""
        with bounded_lines(path):
            pass
        with _telling(path), gzip.open(path, "rb") as file:
            while part := file.read(1 << 16):
                last = part[-1:]
        return last in (b"", b"\n")
    with _telling(path), path.open("rb") as plain:
        if plain.seek(0, os.SEEK_END) == 0:
            return True
        plain.seek(-1, os.SEEK_END)
        return plain.read(1) == b"\n"


def _lock(handle: int, path: Path) -> None:
    if sys.platform == "win32":
        return
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise WorkError(
            f"{path} is being written by another program", "try again when that has ended"
        ) from None
    except OSError:
        return  # Not all file systems can.


@contextmanager
def _telling(path: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, EOFError, ValueError) as error:
        why = "it is cut off" if isinstance(error, EOFError) else reason(error)
        raise WorkError(f"{path} cannot be written: {why}") from None
