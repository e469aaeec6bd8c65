"""The lines of a tape file, packed or not, never holding more than one of them."""

import gzip
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from pourcoach.domain.errors import WorkError

LONGEST_LINE = 65_536
"""In bytes. A header with a plan of a hundred stages is a fifth of it, a reading a thousandth."""


class _Readable(Protocol):
    def readline(self, size: int, /) -> bytes: ...


class BrokenLineError(ValueError):
    """A line that cannot be read, and nothing after it."""


@contextmanager
def bounded_lines(path: Path) -> Iterator[Iterator[bytes]]:
    """The file's lines, without their ends, while the context lasts.

    Raises WorkError where there is no such file, and BrokenLineError, from the iterator, where
    the file breaks off or a line is too long for a tape.
    """
    try:
        with _opened(path) as file:
            yield _lines(file)
    except FileNotFoundError:
        raise WorkError(f"there is no file {path}", "check its name") from None
    except IsADirectoryError:
        raise WorkError(f"{path} is a folder", "name a recording in it") from None
    except (OSError, ValueError) as error:
        if isinstance(error, BrokenLineError):
            raise
        # A name with a NUL in it is a ValueError.
        reason = getattr(error, "strerror", None) or error
        raise WorkError(f"{path} cannot be read: {reason}") from None


@contextmanager
def _opened(path: Path) -> Iterator[_Readable]:
    if path.name.endswith(".gz"):
        with gzip.open(path, "rb") as zipped:
            yield zipped
    else:
        with path.open("rb") as plain:
            yield plain


def _lines(file: _Readable) -> Iterator[bytes]:
    while True:
        try:
            line = file.readline(LONGEST_LINE + 1)
        except gzip.BadGzipFile as error:
            raise BrokenLineError(f"it is no packed file: {error}") from None
        except (EOFError, zlib.error, OSError):
            raise BrokenLineError("the file is cut off or damaged") from None
        if not line:
            return
        if len(line) > LONGEST_LINE:
            raise BrokenLineError("it is longer than any line of a recording")
        yield line.rstrip(b"\r\n")
