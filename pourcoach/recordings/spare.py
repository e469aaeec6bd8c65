"""Where a tape goes when its own place refuses, and how it is fetched back from there."""

import os
import shutil
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pourcoach.places import data_folder, tapes_folder
from pourcoach.recordings.tape import SUFFIXES
from pourcoach.recordings.tape_file import TapeFile, in_use

# By it a tape is known in a folder of other things, and from one that the user put there.
PREFIX = "pourcoach-rescued-"


@dataclass(frozen=True, slots=True)
class Spare:
    """A folder that takes tapes in need."""

    folder: Path
    own: bool = False
    """Of nothing but tapes, so that they keep their plain names."""
    cleared_by_system: bool = False
    """On many systems emptied at the next start."""

    def path_for(self, tape: Path) -> Path:
        """Where ``tape`` goes in it."""
        stem = tape.name.removesuffix(SUFFIXES[1]).removesuffix(SUFFIXES[0])
        return self.folder / f"{'' if self.own else PREFIX}{stem}{SUFFIXES[0]}"


def spare_folders() -> Sequence[Spare]:
    """This machine's, the best first."""
    spares = [Spare(tapes_folder(), own=True), Spare(data_folder().parent)]
    with suppress(RuntimeError):
        spares.append(Spare(Path.home()))
    spares.append(Spare(Path(tempfile.gettempdir()), cleared_by_system=True))
    return spares


def fetch_back(spares: Sequence[Spare], folder: Path) -> list[Path]:
    """Bring tapes that lie in spare folders into ``folder``; where they are now.

    One that is being written, or is another user's, stays. Where the part written before the
    trouble is in ``folder``, the whole takes its place.
    """
    fetched = []
    for spare in spares:
        if spare.own:
            continue
        with suppress(OSError):
            for path in sorted(spare.folder.glob(f"{PREFIX}*{SUFFIXES[0]}")):
                with suppress(OSError):
                    if _is_ours(path) and not in_use(path):
                        fetched.append(_fetch(path, folder))
    return fetched


def _is_ours(path: Path) -> bool:
    # Anybody may put a file into the folder for temporary ones.
    seen = path.lstat()
    return path.is_file() and not path.is_symlink() and seen.st_uid == _user(seen.st_uid)


def _user(otherwise: int) -> int:
    return os.getuid() if hasattr(os, "getuid") else otherwise


def _fetch(path: Path, folder: Path) -> Path:
    part = folder / path.name.removeprefix(PREFIX)
    whole = TapeFile.new(part)
    try:
        with path.open("rb") as source:
            while data := source.read(1 << 20):
                while data:
                    data = data[whole.write(data) :]
    except OSError:
        whole.remove()
        raise
    whole.close()
    path.unlink()
    if whole.path != part and not in_use(part) and _begins_with(whole.path, part):
        shutil.move(whole.path, part)
        return part
    return whole.path


def _begins_with(whole: Path, part: Path) -> bool:
    with whole.open("rb") as longer, part.open("rb") as shorter:
        while data := shorter.read(1 << 20):
            if longer.read(len(data)) != data:
                return False
    return True
