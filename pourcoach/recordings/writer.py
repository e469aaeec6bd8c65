"""Writes a tape line by line while the brew runs, and never holds the brew up."""

import json
import threading
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from pourcoach.domain.afterwards import Afterword
from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.inputs import Input
from pourcoach.domain.printable import json_text
from pourcoach.domain.units import Seconds
from pourcoach.recordings.afterword_lines import at_end, encode_afterword
from pourcoach.recordings.lines import encode
from pourcoach.recordings.packed_copy import PackedCopy
from pourcoach.recordings.spare import Spare, spare_folders
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.tape_file import TapeFile

# A tape that was taken away is missed within this, of the tape's own time.
LOOK_EVERY_S: Seconds = 0.5


class TapeWriter:
    """A tape being written. Every line goes to the system at once, so a killed program loses none.

    Trouble is reported in ``trouble``, never raised. The file is made with the first input. Where
    its folder or disk refuses, or the file is taken away or cut while the brew runs, the whole tape
    is written anew elsewhere: beside it, or in one of the ``spares``. What no place takes is held
    and tried again.
    """

    def __init__(
        self,
        path: Path,
        header: TapeHeader,
        spares: Sequence[Spare] | None = None,
        *,
        any_name: bool = False,
        words: Sequence[Afterword] = (),
    ) -> None:
        """``any_name``: another free name in the folder is as good as the one in ``path``.

        ``words`` is what is known of the brew beforehand, as its water.
        """
        self.path = path
        """Where the tape is; another place than was asked for if ``trouble`` says so."""
        self._asked = path
        self._any_name = any_name
        self._spares = spare_folders() if spares is None else spares
        self._failing: str | None = None
        self._moved: str | None = None
        self._held = bytearray()
        """What the file has not taken yet."""
        self._copy = PackedCopy()
        self._file: TapeFile | None = None
        self._part: TapeFile | None = None
        """What a full disk took; needless once the whole is elsewhere."""
        self._begun = False
        self._closed = False
        self._looked_s = float("-inf")
        self._put(json.dumps(header.as_dict(), ensure_ascii=False))
        for word in words:
            self._put(json_text(at_end(encode_afterword(word), 0.0)))

    @property
    def trouble(self) -> str | None:
        """What is wrong with the tape now, in a sentence; None while all is well."""
        if self._failing is not None:
            return f"recording not written ({self._failing}): the brew goes on, kept in memory"
        return self._moved

    @property
    def kept(self) -> Path | None:
        """The file, if there is one."""
        return self.path if self._file is not None and self._file.is_there() else None

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
        if not self._begun:
            self._begun = True
            self._begin()
        self._put(encode(item))
        if item.t_s - self._looked_s >= LOOK_EVERY_S:
            self._looked_s = item.t_s
            self._look()

    def finish(self, t_s: Seconds) -> None:
        """Write the clean end."""
        self._put(json.dumps({"end": t_s}))

    def sync(self) -> None:
        """Let the disk itself take what was written, without waiting for it."""
        if self._file is not None:
            threading.Thread(target=self._file.syncing(), daemon=True).start()

    def close(self) -> None:
        """Have the disk take it all and close the file. Without an input there is none.

        Where it could not be written, save the whole tape elsewhere.
        """
        if self._closed or not self._begun:
            return
        self._closed = True
        self._look()
        if self._part is not None:
            self._part.remove()
        if self._file is not None:
            self._file.close()

    def _put(self, line: str) -> None:
        data = line.encode("utf-8", "backslashreplace") + b"\n"
        self._copy.add(data)
        self._held += data
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

    def _begin(self) -> None:
        try:
            self._go_on_in(self._written_whole(self._asked))
        except (OSError, ValueError) as error:
            self._move(reason(error))
        else:
            if self.path != self._asked and not self._any_name:
                self._moved = self._moved_sentence("that is there already")

    def _look(self) -> None:
        """See that all is where it should be, or put it elsewhere."""
        if self._file is not None and not self._file.is_whole():
            # What is left of one that was cut is no use to anybody.
            self._file.remove()
            self._file = None
            if self._asked.parent.is_dir():
                with suppress(OSError, ValueError):
                    self._go_on_in(self._written_whole(self._asked))
                    self._moved = (
                        f"recording was taken away or cut, and is kept anew as {self.path}"
                    )
                    return
            self._move("that was taken away")
        elif self._held:
            self._move(self._failing or "no folder takes it")

    def _move(self, why: str) -> None:
        """Write the whole tape into the next folder that takes it; hold it where none does."""
        for spare in self._spares:
            try:
                moved = self._written_whole(spare.path_for(self._asked))
            except (OSError, ValueError):
                continue
            if self._file is not None:
                self._part = self._part or self._file
            self._go_on_in(moved)
            self._moved = self._moved_sentence(why)
            if spare.cleared_by_system:
                self._moved += "; the system clears that folder, so copy it soon"
            return
        self._failing = why

    def _written_whole(self, path: Path) -> TapeFile:
        """A new file with all of the tape so far. Raises OSError, and leaves nothing behind."""
        file = TapeFile.new(path)
        data = self._copy.data()
        try:
            while data:
                data = data[file.write(data) :]
        except OSError:
            file.remove()
            raise
        return file

    def _go_on_in(self, file: TapeFile) -> None:
        self._file = file
        self._held.clear()
        self._failing = None
        self.path = file.path

    def _moved_sentence(self, why: str) -> str:
        return f"recording kept as {self.path}, not as {self._asked} ({why})"


def new_tape_path(folder: Path, when: datetime) -> Path:
    """A name of its own for a brew begun at ``when`` (local time), free in ``folder``."""
    stem = when.strftime("%Y-%m-%d-%H%M%S")
    path = folder / f"{stem}.jsonl"
    count = 1
    while path.exists():
        count += 1
        path = folder / f"{stem}-{count}.jsonl"
    return path


def refuse_existing_tape(path: Path) -> None:
    """Raises WorkError where ``path`` is there already, or can be no file: a tape is never written
    over.
    """
    try:
        path.lstat()
    except FileNotFoundError:
        if not path.parent.is_dir():
            raise WorkError(
                f"there is no folder {path.parent}", "make it, or name another"
            ) from None
        return
    except (OSError, ValueError) as error:
        raise WorkError(f"cannot write {path}: {reason(error)}") from None
    raise WorkError(f"{path} is there already", "choose another name for the recording")
