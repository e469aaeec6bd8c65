"""The folder of tapes: what is there, newest first."""

from collections.abc import Iterator
from pathlib import Path

from pourcoach.domain.errors import WorkError, reason
from pourcoach.recordings.tape import SUFFIXES


def tapes_in(folder: Path) -> list[Path]:
    """Tapes right in ``folder``, the one changed last first; empty where there is no folder.

    Raises WorkError where the folder cannot be read.
    """
    if not folder.is_dir():
        return []
    try:
        tapes = [path for path in folder.iterdir() if _is_tape(path)]
        return sorted(tapes, key=lambda path: (path.stat().st_mtime, path.name), reverse=True)
    except OSError as error:
        raise WorkError(f"cannot read the folder {folder}: {reason(error)}") from None


def tapes_below(folder: Path) -> Iterator[Path]:
    """Tapes in ``folder`` and all folders in it, by name; links to folders are not followed.

    Raises WorkError where a folder cannot be read.
    """
    try:
        entries = sorted(folder.iterdir())
    except OSError as error:
        raise WorkError(f"cannot read the folder {folder}: {reason(error)}") from None
    for entry in entries:
        if entry.is_dir():
            if not entry.is_symlink():
                yield from tapes_below(entry)
        elif _is_tape(entry):
            yield entry


def _is_tape(path: Path) -> bool:
    return path.name.endswith(SUFFIXES) and path.is_file()
