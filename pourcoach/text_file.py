"""Text files of the user's, read and written; what goes wrong is told in one line."""

import os
from pathlib import Path

from pourcoach.domain.errors import WorkError


def read_text(path: Path, what: str) -> str:
    """What the file holds, as UTF-8. WorkError, naming ``what`` it should be, where it cannot be
    read.
    """
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        raise WorkError(f"cannot read {what} {path}: {reason}") from None


def write_text(path: Path, text: str) -> None:
    """Write the file, or over it. WorkError where it cannot be written."""
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise WorkError(f"cannot write {path}: {error.strerror}") from None


def write_whole(path: Path, text: str) -> None:
    """Write it whole or not at all, and the folders it needs: a full disk costs nothing that was
    saved before. WorkError where it cannot be written.
    """
    new = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        new.write_text(text, encoding="utf-8")
        os.replace(new, path)
    except OSError as error:
        raise WorkError(f"cannot write {path}: {error.strerror}") from None
