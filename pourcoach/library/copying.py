"""A tape copied among the user's own, under a free name."""

import os
from contextlib import suppress
from pathlib import Path

from pourcoach.domain.errors import WorkError, reason
from pourcoach.recordings.tape import SUFFIXES
from pourcoach.recordings.tape_file import TapeFile


def copy_tape(tape: Path, folder: Path, name: str | None = None) -> Path:
    """Copy the file byte for byte into ``folder``, its owner's alone; where the copy is.

    ``name`` is what to call it, if not as it is called. Raises WorkError, and leaves nothing
    behind, where it cannot be done.
    """
    name = name or tape.name
    if not name.endswith(SUFFIXES):
        name += SUFFIXES[0]
    try:
        with tape.open("rb") as source:
            seen = os.fstat(source.fileno())
            copy = TapeFile.new(folder / name)
            try:
                while data := source.read(1 << 20):
                    while data:
                        data = data[copy.write(data) :]
            except OSError:
                copy.remove()
                raise
            copy.close()
    except (OSError, ValueError) as error:
        raise WorkError(f"{tape} cannot be copied into {folder}: {reason(error)}") from None
    with suppress(OSError):
        # By it a tape that does not say when it was recorded is dated.
        os.utime(copy.path, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    return copy.path
