"""Text files of the user's, read and written; what goes wrong is said in one line.

All text that the program writes goes through here, so that nothing is written over unasked.
Recordings have a writer of their own, which never writes over anything.
"""

import errno
import os
from pathlib import Path

from pourcoach.domain.errors import WorkError

# What the system's codes mean to somebody who typed a name; for others its own words are given.
_REASONS = {
    errno.ENOENT: "there is none of that name",
    errno.EACCES: "it is not yours to use: see its permissions",
    errno.EPERM: "it is not yours to use: see its permissions",
    errno.EISDIR: "it is a folder",
    errno.ENOTDIR: "what should be its folder is a file",
    errno.ENOSPC: "the disk is full",
    errno.EROFS: "the disk is for reading only",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "its links lead in a circle",
}


def reason(error: OSError | UnicodeDecodeError) -> str:
    """Why a file could not be read or written, in words."""
    if isinstance(error, UnicodeDecodeError):
        return "it is not UTF-8 text"
    return _REASONS.get(error.errno or 0, error.strerror or str(error))


def read_text(path: Path, what: str) -> str:
    """What the file holds, as UTF-8. WorkError, naming ``what`` it should be, where it cannot be
    read.
    """
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise WorkError(f"cannot read {what} {path}: {reason(error)}") from None


def make_folder(path: Path) -> None:
    """Make a folder of the program's own, and those around it. WorkError where that fails."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WorkError(f"cannot make the folder {path}: {reason(error)}") from None


def refuse_existing(path: Path, *, over: bool = False) -> None:
    """Before the work is done: WorkError where ``path`` is there and may not be written over."""
    if not over and path.exists():
        raise _there_already(path)


def write_text(path: Path, text: str, *, over: bool = False) -> None:
    """Write a new file; with ``over`` whole in the place of one that is there.

    WorkError where it is there already, or cannot be written.
    """
    if over:
        write_whole(path, text, folders=False)
        return
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise _there_already(path) from None
    except OSError as error:
        raise _cannot_write(path, error) from None


def write_whole(path: Path, text: str, *, folders: bool = True) -> None:
    """Write it whole or not at all over what the program itself keeps, and the ``folders`` it
    needs: a full disk costs nothing that was saved before. WorkError where it cannot be written.
    """
    # Beside it, under a name that no one else has.
    new = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        if folders:
            path.parent.mkdir(parents=True, exist_ok=True)
        try:
            new.write_text(text, encoding="utf-8")
            os.replace(new, path)
        except OSError:
            new.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise _cannot_write(path, error) from None


def _there_already(path: Path) -> WorkError:
    return WorkError(
        f"{path} is there already", "choose another name, or write over it with --force"
    )


def _cannot_write(path: Path, error: OSError) -> WorkError:
    missing = error.errno == errno.ENOENT
    return WorkError(
        f"cannot write {path}: {'there is no such folder' if missing else reason(error)}"
    )
