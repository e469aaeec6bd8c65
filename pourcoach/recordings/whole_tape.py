"""Writes a tape that is known whole: the other way round from reading one."""

import gzip
import json
from pathlib import Path

from pourcoach.domain.errors import WorkError, reason
from pourcoach.recordings.lines import encode
from pourcoach.recordings.tape import Tape


def write_tape(path: Path, tape: Tape) -> None:
    """Write ``tape`` to a file that is not there yet, packed where its name ends in ``.gz``.

    The same tape gives the same bytes. Raises WorkError where it cannot be written.
    """
    lines = [json.dumps(tape.header.as_dict(), ensure_ascii=False)]
    lines += map(encode, tape.inputs)
    if tape.end_s is not None:
        lines.append(json.dumps({"end": tape.end_s}))
    data = "".join(f"{line}\n" for line in lines).encode("utf-8", "backslashreplace")
    if path.name.endswith(".gz"):
        # Without a time of packing, which would make every file another one.
        data = gzip.compress(data, mtime=0)
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise WorkError(
            f"{path} is there already", "choose another name for the recording"
        ) from None
    except OSError as error:
        raise WorkError(f"{path} cannot be written: {reason(error)}") from None
