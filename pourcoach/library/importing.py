"""Tapes from elsewhere taken into the library: each content once, however often it is named."""

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.domain.errors import WorkError
from pourcoach.library.bin import restore
from pourcoach.library.brews import brew_numbered
from pourcoach.library.copying import copy_tape
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import Library
from pourcoach.library.records import Imported
from pourcoach.library.saying import put_on_tape, say
from pourcoach.places import tapes_folder
from pourcoach.recordings.contents import TapeContents, contents_of
from pourcoach.recordings.shelf import tapes_below
from pourcoach.recordings.tape_file import in_use


def import_tapes(library: Library, paths: Iterable[Path], by: str | None = None) -> Imported:
    """Copy tapes, and those in folders and below, among the user's own and enter them.

    What the library has already is not copied again; what is said on the new file and not on ours
    is added to ours. A brew in the bin is taken out of it. ``by`` says who brewed what is new.
    What cannot be taken is refused and keeps no other from being taken. Raises WorkError where the
    library itself refuses.
    """
    done = Imported()
    for path in paths:
        try:
            files = list(tapes_below(path)) if path.is_dir() else [path]
        except WorkError as error:
            done.refused.append((path, error.what))
            continue
        for file in files:
            try:
                _import(library, file, by, done)
            except _RefusedError as error:
                done.refused.append((file, str(error)))
    return done


class _RefusedError(Exception):
    """One file is not taken, and why."""


def _import(library: Library, file: Path, by: str | None, done: Imported) -> None:
    try:
        if in_use(file):
            raise _RefusedError(f"{file} is being recorded now")
        contents = contents_of(file)
    except WorkError as error:
        raise _RefusedError(error.what) from None
    number = number_of_content(library, contents.content)
    kept = None if number is None else brew_numbered(library, number)
    if kept is not None and kept.tape.is_file():
        _known(library, kept.number, contents, done)
        return
    try:
        # One that lies among them already is entered where it is.
        inside = file.resolve().is_relative_to(tapes_folder().resolve())
        tape = file if inside else copy_tape(file, tapes_folder())
    except WorkError as error:
        raise _RefusedError(error.what) from None
    entry = enter_tape(library, tape)
    if by is not None and _by(library, entry.number) != by:
        now = wall_clock.timestamp()
        say(library, entry.number, [Fact(FactKind.BY, by, now)])
    done.new.append(entry.number)


def _known(library: Library, number: int, contents: TapeContents, done: Imported) -> None:
    with library.changing() as connection:
        connection.executemany(
            "INSERT OR IGNORE INTO said (brew_id, line, is_on_tape) VALUES (?, ?, 0)",
            [(number, line) for line in contents.said],
        )
        (binned,) = connection.execute(
            "SELECT binned_at IS NOT NULL FROM brew WHERE id = ?", (number,)
        ).fetchone()
    with suppress(WorkError):
        put_on_tape(library, number)
    brew = brew_numbered(library, number)
    if binned and brew is not None:
        restore(library, [brew])
        done.new.append(number)
    else:
        done.known.append(number)


def number_of_content(library: Library, content: str) -> int | None:
    """The number of the brew with this content (see ``TapeContents``); None where the library does
    not have it."""
    with library.asking() as connection:
        row = connection.execute("SELECT id FROM brew WHERE content = ?", (content,)).fetchone()
    return None if row is None else int(row[0])


def _by(library: Library, number: int) -> str | None:
    brew = brew_numbered(library, number)
    return None if brew is None else brew.by
