"""The library's file: opened, kept private, locked and changed as a whole or not at all.

What stands in it is asked for in ``brews`` and ``people``, and changed by ``entering``, ``saying``,
``judged``, ``bin`` and ``erasing``. Tapes are the truth: everything here can be made again of them.
"""

import os
import sqlite3
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Self, TypeVar

from pourcoach.domain.errors import WorkError, reason
from pourcoach.library.describing import describe_all
from pourcoach.library.schema import migrate
from pourcoach.places import OWNER_ONLY_FILE, data_folder, private_folder

# Two programs may keep brews at once (two stations, one machine): the later one waits. Another's
# change takes some milliseconds, and a key press that waits longer than this feels lost.
BUSY_TIMEOUT_S = 0.5
# Six stations may be the first to open a new library at once, and one of them makes it.
MAKING_TIMEOUT_S = 5.0

T = TypeVar("T")

_BROKEN = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}


class BrokenLibraryError(WorkError):
    """The file is no library, or damaged; the tapes are not."""


def library_path() -> Path:
    """The library in the user's data folder."""
    return data_folder() / "library.sqlite3"


class Library:
    """An open library; used as a context.

    Raises WorkError where the file cannot be opened or refuses to be written, and
    BrokenLibraryError where it is no library.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with self._plain_errors():
            _make_private(path)
            self._connection = sqlite3.connect(path, timeout=MAKING_TIMEOUT_S)
            try:
                migrate(self._connection, str(path), describe_all)
                self._connection.execute(f"PRAGMA busy_timeout = {1000 * BUSY_TIMEOUT_S:.0f}")
                self._connection.execute("PRAGMA foreign_keys = ON")
                # What is taken out is written over with zeros: it may be a name.
                self._connection.execute("PRAGMA secure_delete = ON")
            except BaseException:
                self._connection.close()
                raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._connection.close()

    @contextmanager
    def asking(self) -> Iterator[sqlite3.Connection]:
        """The connection, to read with. The library's errors become WorkErrors."""
        with self._plain_errors():
            yield self._connection

    @contextmanager
    def changing(self) -> Iterator[sqlite3.Connection]:
        """The connection, to write with: all that is done in the context is done, or none of it.

        One within another is part of it.
        """
        if self._connection.in_transaction:
            yield self._connection
            return
        with self._plain_errors():
            # Before the first read: two programs that both read and then write would each hold
            # the other up for good.
            self._connection.execute("BEGIN IMMEDIATE")
            with self._connection:
                yield self._connection

    def forget_deleted(self) -> None:
        """Make the file anew without what was taken out of it."""
        with self._plain_errors():
            self._connection.execute("VACUUM")

    @contextmanager
    def _plain_errors(self) -> Iterator[None]:
        try:
            yield
        except (sqlite3.Error, OSError, UnicodeError) as error:
            code = getattr(error, "sqlite_errorcode", 0) & 0xFF
            if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise WorkError(
                    f"another program is writing to the library {self.path}",
                    "try again in a moment; recordings are kept all the same",
                ) from None
            if code in _BROKEN:
                raise BrokenLibraryError(
                    f"the library {self.path} cannot be used: {error}",
                    "'pourcoach sessions rebuild' makes a new one from the recordings and keeps the"
                    " broken file beside it",
                ) from None
            if code == sqlite3.SQLITE_READONLY:
                raise WorkError(
                    f"the library {self.path} cannot be written: it is for reading only",
                    "see its permissions and its folder's; recordings are kept all the same",
                ) from None
            why = reason(error) if isinstance(error, OSError) else error
            raise WorkError(
                f"the library {self.path} cannot be used: {why}",
                "free the disk or move the file away; recordings are kept all the same",
            ) from None


def ask_library(question: Callable[[Library], T], otherwise: T) -> T:
    """What the user's library answers; ``otherwise`` where there is none, or none that can be used:
    brewing and looking at recordings go on without it.
    """
    if not library_path().exists():
        return otherwise
    try:
        with Library(library_path()) as library:
            return question(library)
    except WorkError:
        return otherwise


def _make_private(path: Path) -> None:
    """The file, for its owner alone; one that is there already becomes so. Raises OSError."""
    private_folder(path.parent)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL, OWNER_ONLY_FILE))
    except FileExistsError:
        if stat.S_IMODE(path.stat().st_mode) & ~OWNER_ONLY_FILE:
            # Another's library, read by leave, is left as it is.
            with suppress(PermissionError):
                path.chmod(OWNER_ONLY_FILE)
