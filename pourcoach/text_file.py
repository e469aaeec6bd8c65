"""Text files of the user's, read and written; what goes wrong is said in one line.

All text that the program writes goes through here, so that nothing is written over unasked.
Recordings have a writer of their own, which never writes over anything.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.places import OWNER_ONLY_FILE, private_folder

LONGEST_FILE = 64_000_000
"""In bytes: a scale's check of five hours at 80 readings a second. Longer ones are not read."""
_TAPE_BEGINS = b'{"pourcoach"'
_PACKED_BEGINS = b"\x1f\x8b"


def read_text(path: Path, what: str) -> str:
    """What the file holds, as UTF-8. WorkError, naming ``what`` it should be, where it cannot be
    read or is far too long.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LONGEST_FILE + 1)
        if len(data) > LONGEST_FILE:
            raise WorkError(f"cannot read {what} {path}: it is longer than 64 million bytes")
        return data.decode("utf-8")
    except (OSError, ValueError) as error:
        raise WorkError(f"cannot read {what} {path}: {reason(error)}") from None


def make_folder(path: Path) -> None:
    """Make a folder of the program's own, and those around it. WorkError where that fails."""
    try:
        private_folder(path)
    except (OSError, ValueError) as error:
        raise WorkError(f"cannot make the folder {path}: {reason(error)}") from None


@contextmanager
def content_of(path: Path) -> Iterator[None]:
    """What is wrong with what a file holds is the file's fault, not of whoever named it: UsageError
    becomes WorkError, and names the file.
    """
    try:
        yield
    except UsageError as error:
        raise WorkError(f"{path}: {error.what}", error.remedy) from None


def read_json(path: Path, what: str) -> Any:
    """What the file holds, as JSON. WorkError where it cannot be read or is none."""
    text = read_text(path, what)
    try:
        return from_json(text)
    except DocumentError as error:
        why = f": {error.where}" if error.where else f" of ours: {error}"
        raise WorkError(f"{path} is no JSON{why}") from None


def refuse_existing(path: Path, *, over: bool = False) -> None:
    """Before the work is done: WorkError where ``path`` is there and may not be written over.
    A recording never may.
    """
    try:
        if not over and path.exists():
            raise _there_already(path)
        _refuse_recording(path)
    except (OSError, ValueError) as error:
        raise _cannot_write(path, error) from None


def write_text(path: Path, text: str, *, over: bool = False) -> None:
    """Write a new file, line ends as this system has them; with ``over`` whole in the place of one
    that is there.

    WorkError where it is there already, is a recording, or cannot be written.
    """
    write_bytes(path, _encoded(path, text), over=over)


def write_bytes(path: Path, data: bytes, *, over: bool = False) -> None:
    """The same of bytes as they are."""
    if over:
        _replace(path, data, folders=False)
        return
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise _there_already(path) from None
    except (OSError, ValueError) as error:
        raise _cannot_write(path, error) from None


def write_atomically(path: Path, text: str, *, folders: bool = True) -> None:
    """Write it whole or not at all over what the program itself keeps, and the ``folders`` it
    needs: a full disk costs nothing that was saved before. What is in those folders is its
    owner's alone. WorkError where it cannot be written, or would take a recording's place.
    """
    _replace(path, _encoded(path, text), folders=folders)


def append_line(path: Path, line: str) -> None:
    """Add a line to a log of the program's own, which is made, with the folders it needs, where it
    is not there: its owner's alone. WorkError where it cannot be written.
    """
    data = _encoded(path, line + "\n")
    try:
        private_folder(path.parent)
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0)
        with os.fdopen(os.open(path, flags, OWNER_ONLY_FILE), "ab") as log:
            log.write(data)
    except (OSError, ValueError) as error:
        raise _cannot_write(path, error) from None


def _replace(path: Path, data: bytes, *, folders: bool) -> None:
    # Beside it, under a name that no one else has.
    new = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        _refuse_recording(path)
        if folders:
            private_folder(path.parent)
        try:
            with new.open("xb") as file:
                if folders:
                    new.chmod(OWNER_ONLY_FILE)
                file.write(data)
                file.flush()
                # Or a pulled plug may leave an empty file under the good one's name.
                os.fsync(file.fileno())
            os.replace(new, path)
        except OSError:
            new.unlink(missing_ok=True)
            raise
    except (OSError, ValueError) as error:
        raise _cannot_write(path, error) from None


def _encoded(path: Path, text: str) -> bytes:
    try:
        return text.replace("\n", os.linesep).encode()
    except UnicodeEncodeError as error:
        raise _cannot_write(path, error) from None


def _refuse_recording(path: Path) -> None:
    if not path.is_file():
        return
    with path.open("rb") as file:
        begins = file.read(len(_TAPE_BEGINS))
    if begins.startswith((_TAPE_BEGINS, _PACKED_BEGINS)):
        raise WorkError(f"{path} is a recording", "choose another name")


def _there_already(path: Path) -> WorkError:
    return WorkError(
        f"{path} is there already", "choose another name, or write over it with --force"
    )


def _cannot_write(path: Path, error: OSError | ValueError) -> WorkError:
    return WorkError(f"cannot write {path}: {reason(error)}")
