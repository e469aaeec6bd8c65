"""The open file of a tape being written: private, locked, and missed when it is removed."""

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Self

from pourcoach.places import OWNER_ONLY_FILE, private_folder

# On Windows an open file cannot be moved or deleted in any case.
if sys.platform != "win32":
    import fcntl

# Brews begun in the same second, at most; a folder that refuses all of these refuses for good.
MOST_NAMES = 100


class TapeFile:
    """Written without a buffer: each line is the system's as soon as it is written."""

    def __init__(self, path: Path, handle: int) -> None:
        self.path = path
        self._handle = handle
        self._size = 0
        self._open = True
        opened = os.fstat(handle)
        self._identity = (opened.st_dev, opened.st_ino)

    @classmethod
    def new(cls, path: Path) -> Self:
        """A new file of that name, or with a number behind it where that is taken, and the folders
        it needs. Raises OSError.
        """
        private_folder(path.parent)
        # Appending: what is written after the file was cut shows in its size.
        flags = os.O_APPEND | os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        for count in range(1, MOST_NAMES + 1):
            name = path.name if count == 1 else _numbered(path.name, count)
            with suppress(FileExistsError):
                handle = os.open(path.with_name(name), flags, OWNER_ONLY_FILE)
                _lock(handle)
                return cls(path.with_name(name), handle)
        raise FileExistsError(f"{path} and {MOST_NAMES} names like it are taken")

    def write(self, data: bytes | bytearray) -> int:
        """How many bytes the system took. Raises OSError."""
        count = os.write(self._handle, data)
        self._size += count
        return count

    def is_there(self) -> bool:
        """Whether the file under this name is still this one."""
        try:
            seen = self.path.stat()
        except OSError:
            return False
        return (seen.st_dev, seen.st_ino) == self._identity

    def is_whole(self) -> bool:
        """Whether it is there with all that was written."""
        with suppress(OSError):
            return self.is_there() and self.path.stat().st_size >= self._size
        return False

    def syncing(self) -> Callable[[], None]:
        """A function that syncs what was written so far; may be called from any thread."""
        if not self._open:
            return lambda: None
        handle = os.dup(self._handle)

        def sync() -> None:
            # A disk that cannot is reported by the next write.
            with suppress(OSError):
                os.fsync(handle)
            os.close(handle)

        return sync

    def close(self) -> None:
        """After the disk has it all."""
        if self._open:
            self._open = False
            with suppress(OSError):
                os.fsync(self._handle)
            os.close(self._handle)

    def remove(self) -> None:
        """Close it and take it off the disk, if it is still there."""
        there = self.is_there()
        if self._open:
            self._open = False
            os.close(self._handle)
        if there:
            with suppress(OSError):
                self.path.unlink()


def in_use(path: Path) -> bool:
    """Whether some program is writing the tape at ``path`` now."""
    if sys.platform == "win32":
        return False
    try:
        handle = os.open(path, os.O_RDONLY)
    except OSError:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except OSError:
        return True
    finally:
        os.close(handle)
    return False


def _lock(handle: int) -> None:
    # Not all file systems can; then it only is not known to be in use.
    if sys.platform != "win32":
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _numbered(name: str, count: int) -> str:
    stem, dot, suffix = name.partition(".")
    return f"{stem}-{count}{dot}{suffix}"
