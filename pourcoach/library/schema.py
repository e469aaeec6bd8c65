"""The library's tables, and how an older file becomes a newer one."""

import re
import sqlite3
from collections.abc import Iterator

from pourcoach.domain.errors import WorkError

# One script a version; a file at version n has run the first n. Never edit one that shipped.
_STEPS = (
    """
    CREATE TABLE person (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE COLLATE NOCASE,
        reaction_s REAL                 -- learnt lead in stopping; NULL until learnt
    );
    CREATE TABLE brew (
        id INTEGER PRIMARY KEY,
        tape TEXT NOT NULL UNIQUE,      -- absolute path
        recorded_at TEXT NOT NULL,      -- ISO 8601 with offset
        person_id INTEGER REFERENCES person(id),
        water TEXT                      -- name of a saved water
    );
    CREATE TABLE strength (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew(id) ON DELETE CASCADE,
        taken_at TEXT NOT NULL,
        strength REAL NOT NULL,         -- mass fraction of dissolved solids
        strength_error REAL NOT NULL,   -- one standard error
        beverage_g REAL                 -- NULL where only the water is known
    );
    CREATE TABLE remark (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('taste', 'bed', 'change', 'note')),
        text TEXT NOT NULL
    );
    CREATE INDEX brew_by_time ON brew(recorded_at);
    """,
)


def bring_up_to_date(connection: sqlite3.Connection, path: str) -> None:
    """Run the steps that the file has not had yet.

    Raises WorkError for a file of a later version than this program knows.
    """
    if _version(connection, path) == len(_STEPS):
        return
    # Another program may be at it too: whoever gets the file first does it, and the others look
    # again. Not executescript, which would commit and let them in between.
    connection.execute("BEGIN IMMEDIATE")
    try:
        done = _version(connection, path)
        for number, step in enumerate(_STEPS[done:], done + 1):
            for statement in _statements(step):
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {number}")
    except BaseException:
        connection.rollback()
        raise
    connection.commit()


def _version(connection: sqlite3.Connection, path: str) -> int:
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if version > len(_STEPS):
        raise WorkError(
            f"the library {path} was made by a later pourcoach",
            "update this one, or move the file away",
        )
    return int(version)


def _statements(step: str) -> Iterator[str]:
    """One after another: no statement here has a semicolon within but in its comments."""
    for statement in re.sub("--.*", "", step).split(";"):
        if statement.strip():
            yield statement
