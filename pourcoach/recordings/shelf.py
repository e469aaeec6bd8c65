"""The folder of tapes: what is there, newest first."""

from pathlib import Path

from pourcoach.recordings.tape import SUFFIXES


def tapes_in(folder: Path) -> list[Path]:
    """Tapes right in ``folder``, the one changed last first; empty where there is no folder."""
    if not folder.is_dir():
        return []
    tapes = [path for path in folder.iterdir() if path.name.endswith(SUFFIXES) and path.is_file()]
    return sorted(tapes, key=lambda path: (path.stat().st_mtime, path.name), reverse=True)
