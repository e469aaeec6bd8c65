"""Text files of the user's, read and written; what goes wrong is said in one line.

All text that the program writes goes through here, so that nothing is written over unasked.
Recordings have a writer of their own, which never writes over anything.
"""

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pourcoach.domain.errors import UsageError, WorkError, reason


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
        return json.loads(text)
    except RecursionError:
        raise WorkError(f"{path} is no JSON of ours: it is nested too deeply") from None
    except json.JSONDecodeError as error:
        raise WorkError(f"{path} is no JSON: line {error.lineno}: {error.msg}") from None


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
    return WorkError(f"cannot write {path}: {reason(error)}")
