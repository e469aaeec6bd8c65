"""Writes a tape line by line while the brew runs, and never holds the brew up."""

import json
import tempfile
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Input
from pourcoach.domain.units import Seconds
from pourcoach.recordings.lines import encode
from pourcoach.recordings.tape import TapeHeader


class TapeWriter:
    """A tape being written. Every line goes to the system at once, so a killed program loses none.

    A disk that is full or a folder that refuses is told by ``trouble``, never raised: what could
    not be written is held and tried again with each next input, and on closing it is saved in
    the system's folder for temporary files instead.
    """

    def __init__(self, path: Path, header: TapeHeader) -> None:
        self.path = path
        """Where the tape is; changes if it had to be saved elsewhere on closing."""
        self.trouble: str | None = None
        """What keeps the tape from being written now, in a sentence; None while all is well."""
        self._held = bytearray()
        self._all = bytearray()
        self._empty = True
        self._file = None
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            # Unbuffered: each line is the system's as soon as it is written.
            self._file = path.open("xb", buffering=0)
        except OSError as error:
            self._say(error)
        self._put(json.dumps(header.as_dict(), ensure_ascii=False))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def append(self, item: Input) -> None:
        """Write one input."""
        self._empty = False
        self._put(encode(item))

    def finish(self, t_s: Seconds) -> None:
        """Write the clean end."""
        self._put(json.dumps({"end": t_s}))

    def close(self) -> None:
        """Close the file, and leave none that holds no input.

        Where it could not be written, save the whole tape elsewhere.
        """
        file, self._file = self._file, None
        if file is not None:
            file.close()
            if self._empty:
                self.path.unlink(missing_ok=True)
        if self._held and not self._empty:
            self._rescue()

    def _put(self, line: str) -> None:
        data = line.encode() + b"\n"
        self._held += data
        self._all += data
        if self._file is None:
            return
        try:
            while self._held:
                del self._held[: self._file.write(self._held)]
            self.trouble = None
        except OSError as error:
            self._say(error)

    def _say(self, error: OSError) -> None:
        why = error.strerror or str(error)
        self.trouble = f"tape not written ({why}): the brew goes on, kept in memory"

    def _rescue(self) -> None:
        try:
            with tempfile.NamedTemporaryFile(
                prefix=f"{self.path.stem}-", suffix=".jsonl", delete=False
            ) as rescued:
                rescued.write(self._all)
        except OSError as error:
            self.trouble = f"tape not saved anywhere ({error.strerror or error})"
            return
        self._held.clear()
        self.trouble = f"tape saved elsewhere, not as {self.path}"
        self.path = Path(rescued.name)


def new_tape_path(folder: Path, when: datetime) -> Path:
    """A name of its own for a brew begun at ``when`` (local time), free in ``folder``."""
    stem = when.strftime("%Y-%m-%d-%H%M%S")
    path = folder / f"{stem}.jsonl"
    count = 1
    while path.exists():
        count += 1
        path = folder / f"{stem}-{count}.jsonl"
    return path


def refuse_existing(path: Path) -> None:
    """Raises WorkError where ``path`` is there already: a tape is never written over."""
    if path.exists():
        raise WorkError(f"{path} is there already", "choose another name for the tape")
