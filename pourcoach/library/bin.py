"""Brews deleted, and taken back: a bin beside the tapes, emptied only when that is asked for."""

import errno
import os
import shutil
from collections.abc import Sequence
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.domain.errors import WorkError, reason
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library
from pourcoach.library.paths import path_key, path_of
from pourcoach.library.records import Brew, Search
from pourcoach.places import data_folder, private_folder, tapes_folder
from pourcoach.recordings.contents import Signature


def bin_folder() -> Path:
    """Where the tapes of deleted brews are."""
    return data_folder() / "bin"


def put_in_bin(library: Library, brews: Sequence[Brew]) -> None:
    """Delete brews, to be taken back with ``restore``. Their tapes among the user's own go into the
    bin, copies too; a tape elsewhere stays where it is, and only the library lets it go.

    Raises WorkError where a tape cannot be moved; those before it are in the bin then.
    """
    for brew in brews:
        for tape in _files_of(library, brew.number):
            if tape.is_file() and tape.is_relative_to(tapes_folder().resolve()):
                _move(library, brew.number, tape, bin_folder())
        enter_in_bin(library, brew.number)


def enter_in_bin(library: Library, number: int) -> None:
    """Say in the library alone that a brew is deleted."""
    now = wall_clock.timestamp()
    with library.changing() as connection:
        connection.execute(
            "UPDATE brew SET binned_at = COALESCE(binned_at, ?) WHERE id = ?", (now, number)
        )


def restore(library: Library, brews: Sequence[Brew]) -> None:
    """Take deleted brews back, their tapes to where they were.

    Raises WorkError where a tape cannot be moved; those before it are back then.
    """
    for brew in brews:
        for tape in _files_of(library, brew.number):
            if tape.is_file() and tape.is_relative_to(bin_folder().resolve()):
                _move(library, brew.number, tape, _came_from(library, brew.number))
        take_out(library, brew.number)


def take_out(library: Library, number: int) -> None:
    """Say in the library alone that a brew is not deleted."""
    with library.changing() as connection:
        connection.execute(
            "UPDATE brew SET binned_at = NULL, binned_from = NULL WHERE id = ?", (number,)
        )


def empty_bin(library: Library) -> int:
    """Delete for good what is in the bin; how many brews that were.

    Raises WorkError where a tape cannot be deleted; those before it are gone then.
    """
    brews = find_brews(library, Search(binned=True))
    for brew in brews:
        for tape in _files_of(library, brew.number):
            if tape.is_relative_to(bin_folder().resolve()):
                try:
                    tape.unlink(missing_ok=True)
                except OSError as error:
                    raise WorkError(f"{tape} cannot be deleted: {reason(error)}") from None
        with library.changing() as connection:
            connection.execute("DELETE FROM brew WHERE id = ?", (brew.number,))
    if brews:
        library.forget_deleted()
    return len(brews)


def _came_from(library: Library, number: int) -> Path:
    """The folder to restore a tape to: the one it was in, if that is still there."""
    with library.asking() as connection:
        (key,) = connection.execute(
            "SELECT binned_from FROM brew WHERE id = ?", (number,)
        ).fetchone()
    folder = tapes_folder() if key is None else path_of(key).parent
    return folder if folder.is_dir() else tapes_folder()


def _files_of(library: Library, number: int) -> list[Path]:
    with library.asking() as connection:
        rows = connection.execute("SELECT path FROM tape WHERE brew_id = ?", (number,))
        return [path_of(key) for (key,) in rows]


def _move(library: Library, number: int, tape: Path, folder: Path) -> None:
    """First the file, then the tables: a look through the folders mends what a crash left."""
    try:
        private_folder(folder)
        new = _free_name(folder.resolve(), tape.name)
        _rename(tape, new)
        signature = Signature.of(new)
    except OSError as error:
        raise WorkError(f"{tape} cannot be moved to {folder}: {reason(error)}") from None
    with library.changing() as connection:
        connection.execute("DELETE FROM tape WHERE path = ?", (path_key(tape),))
        connection.execute(
            "INSERT OR REPLACE INTO tape VALUES (?, ?, ?, ?)",
            (path_key(new), number, signature.size, signature.modified_ns),
        )
        connection.execute(
            "UPDATE brew SET tape = ?, binned_from = ? WHERE id = ? AND tape = ?",
            (path_key(new), path_key(tape), number, path_key(tape)),
        )


def _rename(tape: Path, new: Path) -> None:
    """Whole, or not at all: what cannot be taken away is not copied either. Raises OSError."""
    try:
        tape.rename(new)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        # The folder is a link to another disk.
        shutil.copy2(tape, new)
        try:
            tape.unlink()
        except OSError:
            new.unlink(missing_ok=True)
            raise


def _free_name(folder: Path, name: str) -> Path:
    path, count = folder / name, 1
    stem, dot, suffix = name.partition(".")
    while os.path.lexists(path):
        count += 1
        path = folder / f"{stem}-{count}{dot}{suffix}"
    return path
