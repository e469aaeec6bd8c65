"""Tapes entered in the library: each content once, wherever its files are."""

import sqlite3
from datetime import datetime
from pathlib import Path

from pourcoach.domain.printable import json_text, printable
from pourcoach.library.brews import brew_on
from pourcoach.library.describing import describe
from pourcoach.library.library import Library
from pourcoach.library.paths import path_key, path_of
from pourcoach.library.records import Entry
from pourcoach.places import tapes_folder
from pourcoach.recordings.contents import Signature, TapeContents, contents_of

LONGEST_ADDRESS = 200
"""Of a scale: a URL with its options."""


def enter_tape(library: Library, path: Path, contents: TapeContents | None = None) -> Entry:
    """Enter the tape at ``path``, or see again the brew that it holds.

    A brew is known by its content: a copy or a moved tape is the same brew. ``contents`` is what
    was read of it, where that was done. Raises WorkError where it cannot be read or is no tape.
    """
    contents = contents or contents_of(path)
    key = path_key(path)
    with library.changing() as connection:
        number, new = _number(connection, contents, key)
        row = connection.execute(
            "SELECT tape, is_missing FROM brew WHERE id = ?", (number,)
        ).fetchone()
        before = None if row[0] is None else path_of(row[0])
        _let_go(connection, key, number)
        connection.execute(
            "INSERT INTO tape (path, brew_id, size, modified_ns) VALUES (?, ?, ?, ?)"
            " ON CONFLICT (path) DO UPDATE SET brew_id = excluded.brew_id, size = excluded.size,"
            " modified_ns = excluded.modified_ns",
            (key, number, contents.signature.size, contents.signature.modified_ns),
        )
        is_main = new or before is None or path_key(before) == key or not before.is_file()
        # A whole data folder may have been copied: its own tapes go before those it came from.
        is_main = is_main or (_is_own(path) and before is not None and not _is_own(before))
        if is_main:
            _enter_header(connection, number, key, contents)
        _enter_said(connection, number, contents.said, all_of_it=is_main)
        describe(connection, number)
    return Entry(number, new, was_missing=bool(row[1]), is_copy=not is_main)


def _is_own(tape: Path) -> bool:
    return tape.resolve().is_relative_to(tapes_folder().resolve())


def number_of_tape(library: Library, tape: Path) -> int:
    """The brew of that tape, which is entered if it is not in the library yet.

    Raises WorkError where it cannot be read or is no tape.
    """
    brew = brew_on(library, tape)
    return enter_tape(library, tape).number if brew is None else brew.number


def pass_over(library: Library, path: Path, signature: Signature) -> None:
    """Remember a file that is no tape, so that it is not read again until it changes."""
    with library.changing() as connection:
        connection.execute(
            "INSERT OR REPLACE INTO tape (path, brew_id, size, modified_ns) VALUES (?, NULL, ?, ?)",
            (path_key(path), signature.size, signature.modified_ns),
        )


def forget_file(library: Library, path: Path) -> int | None:
    """A file that is gone: the brew that it held is then entered from another file of it.

    Gives the brew's number where that was its last file, and it is missing now; else None.
    """
    key = path_key(path)
    with library.changing() as connection:
        missing = _let_go(connection, key, None)
        connection.execute("DELETE FROM tape WHERE path = ?", (key,))
    return missing


def recorded_s(recorded_at: str) -> float:
    """Seconds since 1970; 0 where the text is no time."""
    try:
        # One without a zone is of this machine's.
        return datetime.fromisoformat(recorded_at).timestamp()
    except (ValueError, OverflowError, OSError):
        return 0.0


def _number(
    connection: sqlite3.Connection, contents: TapeContents, key: str | bytes
) -> tuple[int, bool]:
    """The brew of this content, made where there is none, and whether it was made."""
    recorded_at = contents.header.recorded_at
    found = connection.execute(
        "SELECT id FROM brew WHERE content = ?", (contents.content,)
    ).fetchone()
    if found is not None:
        return int(found[0]), False
    # Entered by a version that knew tapes by their paths, and not read since; or the same brew
    # whose tape went on, or was changed by hand.
    found = connection.execute(
        "SELECT id FROM brew WHERE tape = :key AND (content IS NULL OR"
        " (recorded_at = :at AND :at <> '')) UNION ALL"
        " SELECT id FROM brew WHERE content IS NULL AND is_missing AND recorded_at = :at LIMIT 1",
        {"key": key, "at": recorded_at},
    ).fetchone()
    if found is not None:
        connection.execute("UPDATE brew SET content = ? WHERE id = ?", (contents.content, found[0]))
        connection.execute("DELETE FROM judgement WHERE brew_id = ?", found)
        return int(found[0]), False
    if not recorded_at:
        changed_s = contents.signature.modified_ns / 1e9
        recorded_at = datetime.fromtimestamp(changed_s).astimezone().isoformat(timespec="seconds")
    made = connection.execute(
        "INSERT INTO brew (content, recorded_at, recorded_s) VALUES (?, ?, ?)",
        (contents.content, recorded_at, recorded_s(recorded_at)),
    )
    assert made.lastrowid is not None
    return made.lastrowid, True


def _let_go(connection: sqlite3.Connection, key: str | bytes, number: int | None) -> int | None:
    """No other brew than ``number`` is at ``key`` any more: one that was is represented by a copy
    of it, or is missing, and its number is given.
    """
    missing = None
    others = connection.execute(
        "SELECT id FROM brew WHERE tape = ? AND id IS NOT ? AND NOT is_missing", (key, number)
    ).fetchall()
    for (other,) in others:
        row = connection.execute(
            "SELECT path FROM tape WHERE brew_id = ? AND path <> ? ORDER BY rowid LIMIT 1",
            (other, key),
        ).fetchone()
        if row is None:
            connection.execute("UPDATE brew SET is_missing = 1 WHERE id = ?", (other,))
            missing = int(other)
        else:
            connection.execute("UPDATE brew SET tape = ? WHERE id = ?", (row[0], other))
    return missing


def _enter_header(
    connection: sqlite3.Connection, number: int, key: str | bytes, contents: TapeContents
) -> None:
    header = contents.header
    plan = None if header.plan is None else json_text(header.plan.as_dict())
    address = header.scale.get("address")
    scale = printable(str(address), LONGEST_ADDRESS) if address else None
    for table, column, text in (("plan", "plan", plan), ("scale", "address", scale)):
        if text is not None:
            connection.execute(f"INSERT OR IGNORE INTO {table} ({column}) VALUES (?)", (text,))
    connection.execute(
        "UPDATE brew SET tape = :key, is_missing = 0, taped_by = :by,"
        " plan_id = (SELECT id FROM plan WHERE plan = :plan),"
        " scale_id = (SELECT id FROM scale WHERE address = :scale) WHERE id = :number",
        {"key": key, "by": header.by, "plan": plan, "scale": scale, "number": number},
    )


def _enter_said(
    connection: sqlite3.Connection, number: int, said: tuple[str, ...], *, all_of_it: bool
) -> None:
    """``all_of_it``: what is not on this tape any more was taken off it."""
    if all_of_it:
        kept = set(said)
        rows = connection.execute(
            "SELECT id, line FROM said WHERE brew_id = ? AND is_on_tape", (number,)
        ).fetchall()
        gone = [(identity,) for identity, line in rows if line not in kept]
        connection.executemany("DELETE FROM said WHERE id = ?", gone)
    connection.executemany(
        "INSERT INTO said (brew_id, line, is_on_tape) VALUES (?, ?, ?)"
        " ON CONFLICT (brew_id, line) DO UPDATE SET is_on_tape = max(is_on_tape, ?)",
        # What only a second file says is still to be put on the first one.
        [(number, line, all_of_it, all_of_it) for line in said],
    )
