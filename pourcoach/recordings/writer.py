"""Writes a tape line by line while the brew runs, and never holds the brew up."""

import json
import tempfile
from datetime import datetime
from io import FileIO, RawIOBase
from pathlib import Path
from types import TracebackType
from typing import Self

from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.inputs import Input
from pourcoach.domain.units import Seconds
from pourcoach.recordings.lines import encode
from pourcoach.recordings.tape import SUFFIXES, TapeHeader


class TapeWriter:
    """A tape being written. Every line goes to the system at once, so a killed program loses none.

    Trouble is told by ``trouble``, never raised. Where the folder refuses, the tape is written in
    the system's folder for temporary files instead. What a full disk does not take is held and
    tried again with each next input; what it has not taken by the end is saved there too.
    """

    def __init__(self, path: Path, header: TapeHeader) -> None:
        self.path = path
        """Where the tape is; another place than was asked for if ``trouble`` says so."""
        self._asked = path
        self._failing: str | None = None
        self._held = bytearray()
        self._all = bytearray()
        self._empty = True
        self._file: RawIOBase | None = None
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            # Unbuffered: each line is the system's as soon as it is written.
            self._file = path.open("xb", buffering=0)
        except OSError:
            self._move_elsewhere()
        self._put(json.dumps(header.as_dict(), ensure_ascii=False))

    @property
    def trouble(self) -> str | None:
        """What is wrong with the tape now, in a sentence; None while all is well."""
        if self._failing is not None:
            return f"tape not written ({self._failing}): the brew goes on, kept in memory"
        if self.path != self._asked:
            return f"tape kept as {self.path}, not as {self._asked}"
        return None

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
        if self._held and not self._empty:
            self._move_elsewhere()
            self._flush()
        file, self._file = self._file, None
        if file is not None:
            file.close()
            if self._empty:
                self.path.unlink(missing_ok=True)

    def _put(self, line: str) -> None:
        data = line.encode() + b"\n"
        self._held += data
        self._all += data
        self._flush()

    def _flush(self) -> None:
        if self._file is None:
            return
        try:
            while self._held:
                del self._held[: self._file.write(self._held)]
            self._failing = None
        except OSError as error:
            self._failing = reason(error)

    def _move_elsewhere(self) -> None:
        """Begin the whole tape anew in the folder for temporary files."""
        if self._file is not None:
            self._file.close()
            self._file = None
        try:
            handle, name = tempfile.mkstemp(prefix=f"{self.path.stem}-", suffix=SUFFIXES[0])
        except OSError as error:
            self._failing = reason(error)
            return
        self._file = FileIO(handle, "wb")
        self.path = Path(name)
        self._held = bytearray(self._all)


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
