"""A look through the tapes: what is new, moved, gone or copied since the last one."""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeAlias

from pourcoach.domain.errors import WorkError
from pourcoach.library.bin import bin_folder, enter_in_bin, take_out
from pourcoach.library.brews import brew_numbered
from pourcoach.library.entering import enter_tape, forget_file, pass_over
from pourcoach.library.library import Library
from pourcoach.library.records import Taken
from pourcoach.library.saying import put_all_on_tapes
from pourcoach.places import tapes_folder
from pourcoach.recordings.contents import Signature, signature_of
from pourcoach.recordings.tape import SUFFIXES
from pourcoach.recordings.tape_file import in_use


def look_through(library: Library, most: int | None = None) -> Taken:
    """Bring the library up to what the folders of tapes hold, folders in them too. Files that are
    as they were seen last are not read again; one that is being recorded is left until it is done.
    ``most`` is how many files to read, where the rest may wait for the next look.

    Raises WorkError where the library refuses.
    """
    taken = Taken()
    known = _known(library)
    seen = _files(tapes_folder())
    binned = _files(bin_folder())
    if seen | binned == known:
        put_all_on_tapes(library)
        return taken
    gone: dict[int, Path] = {}
    for name in known.keys() - seen.keys() - binned.keys():
        # A tape outside of the folders is looked at where it is.
        signature = signature_of(Path(name))
        if signature is not None:
            seen[name] = (signature.size, signature.modified_ns)
        elif (number := forget_file(library, Path(name))) is not None:
            gone[number] = Path(name)
    changed = [
        (Path(name), Signature(*found), name in binned)
        for files in (seen, binned)
        for name, found in sorted(files.items() - known.items())
        if not in_use(Path(name))
    ]
    for path, signature, in_bin in changed[:most]:
        _enter(library, path, signature, gone, taken, in_bin=in_bin)
    taken.missing.extend(gone.values())
    put_all_on_tapes(library)
    return taken


def _enter(
    library: Library,
    path: Path,
    signature: Signature,
    gone: dict[int, Path],
    taken: Taken,
    *,
    in_bin: bool,
) -> None:
    try:
        entry = enter_tape(library, path)
    except WorkError as error:
        if not path.is_file():
            return  # Taken away while it was looked at: the next look finds it gone.
        pass_over(library, path, signature)
        taken.refused.append((path, error.what))
        return
    if in_bin:
        enter_in_bin(library, entry.number)
        gone.pop(entry.number, None)
        return
    if path.is_relative_to(tapes_folder().resolve()):
        # A deleted brew whose tape somebody put back by hand.
        take_out(library, entry.number)
    if entry.new:
        taken.new.append(path)
    elif entry.number in gone:
        taken.moved.append((gone.pop(entry.number), path))
    elif entry.was_missing:
        taken.back.append(path)
    elif entry.is_copy:
        brew = brew_numbered(library, entry.number)
        taken.copies.append((path, path if brew is None else brew.tape))


# Ten thousand files are looked at before every list: names stay text, and signatures pairs.
_Files: TypeAlias = dict[str, tuple[int, int]]
"""Sizes in bytes and times of change in nanoseconds, by whole path."""


def _known(library: Library) -> _Files:
    with library.asking() as connection:
        rows = connection.execute("SELECT path, size, modified_ns FROM tape")
        known = {
            key if isinstance(key, str) else os.fsdecode(key): (size, changed_ns)
            for key, size, changed_ns in rows
        }
        # Entered by a version that did not look at the files.
        unread = connection.execute(
            "SELECT tape FROM brew WHERE content IS NULL AND NOT is_missing"
        ).fetchall()
    for (key,) in unread:
        known.setdefault(os.fsdecode(key), (-1, -1))
    return known


def _files(folder: Path) -> _Files:
    """Tapes in the folder and below; links to folders are not followed."""
    found: _Files = {}
    folders = [str(folder.resolve())]
    while folders:
        folder_name = folders.pop()
        with suppress(OSError), _entries(folder_name) as entries:
            for entry in entries:
                # Not entry.path, which is the name alone where the folder is read by its handle.
                if entry.is_dir(follow_symlinks=False):
                    folders.append(os.path.join(folder_name, entry.name))
                elif entry.name.endswith(SUFFIXES):
                    try:
                        seen = entry.stat()
                    except OSError:  # A link that leads nowhere, or taken away just now.
                        continue
                    if stat.S_ISREG(seen.st_mode):
                        found[f"{folder_name}{os.sep}{entry.name}"] = (
                            seen.st_size,
                            seen.st_mtime_ns,
                        )
    return found


@contextmanager
def _entries(folder: str) -> Iterator[Iterator[os.DirEntry[str]]]:
    """What is in a folder, read by its handle where the system can: it then finds each file by one
    name instead of a whole path. Raises OSError.
    """
    if os.scandir not in os.supports_fd:
        with os.scandir(folder) as entries:
            yield entries
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with os.scandir(handle) as entries:
            yield entries
    finally:
        os.close(handle)
