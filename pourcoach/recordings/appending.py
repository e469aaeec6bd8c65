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
    with _plain_errors(path), _held(path):
        if not _ends_its_line(path, packed=packed):
            data = b"\n" + data
        if packed:
            data = gzip.compress(data, mtime=0)
        with path.open("r+b", buffering=0) as file:
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
    with _plain_errors(path), _held(path):
        data = _whole_changed(path, change)
        if data is None:
            return False
        whole = gzip.compress(data, mtime=0) if path.name.endswith(".gz") else data
        new_path = path.with_name(f".{path.name}.{os.getpid()}.new")
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


def _whole_changed(
    path: Path, change: Callable[[dict[str, Any]], dict[str, Any] | None]
) -> bytes | None:
    """The tape with each object changed; None where that is the tape as it is."""
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
    return bytes(data) if changed else None


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
        with gzip.open(path, "rb") as file:
            while part := file.read(1 << 16):
                last = part[-1:]
        return last in (b"", b"\n")
    with path.open("rb") as plain:
        if plain.seek(0, os.SEEK_END) == 0:
            return True
        plain.seek(-1, os.SEEK_END)
        return plain.read(1) == b"\n"


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """No other program changes the tape while the context lasts. Raises OSError where there is no
    such file, and WorkError where another holds it.
    """
    if sys.platform == "win32":
        # No lock there, and a file that is open cannot be replaced.
        yield
        return
    while True:
        with path.open("rb") as file:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                raise WorkError(
                    f"{path} is being written by another program", "try again when that has ended"
                ) from None
            except OSError:
                pass  # Not all file systems can.
            # Another may have put a new file in its place between the two.
            if os.path.samestat(os.fstat(file.fileno()), path.stat()):
                yield
                return


@contextmanager
def _plain_errors(path: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, EOFError, ValueError) as error:
        why = "it is cut off" if isinstance(error, EOFError) else reason(error)
        raise WorkError(f"{path} cannot be written: {why}") from None
