"""The library's tables, and how an older file becomes a newer one."""

import re
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from pourcoach.domain.errors import WorkError
from pourcoach.recordings.contents import canonical


def _say_what_was_kept(connection: sqlite3.Connection) -> None:
    """What only the library held until now, as lines that are still to be put on the tapes."""

    def say(brew: int, about: str, at: str, more: Mapping[str, Any]) -> None:
        line = canonical({"input": "after", "about": about, "at": at, **more})
        connection.execute(
            "INSERT OR IGNORE INTO said (brew_id, line, is_on_tape) VALUES (?, ?, 0)", (brew, line)
        )

    for brew, at, strength, error, beverage_g in connection.execute(
        "SELECT brew_id, taken_at, strength, strength_error, beverage_g FROM strength ORDER BY id"
    ).fetchall():
        weighed = {} if beverage_g is None else {"beverage_g": beverage_g}
        say(brew, "strength", at, {"strength": strength, "strength_error": error, **weighed})
    for brew, at, kind, text in connection.execute(
        "SELECT brew_id, made_at, kind, text FROM remark ORDER BY id"
    ).fetchall():
        say(brew, kind, at, {"text": text})
    for brew, at, water in connection.execute(
        "SELECT id, recorded_at, water FROM brew WHERE water IS NOT NULL"
    ).fetchall():
        say(brew, "water", at, {"name": water})


# One step a version; a file at version n has run the first n. Never edit one that shipped.
_STEPS: tuple[str | Callable[[sqlite3.Connection], None], ...] = (
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
    # Brews by content instead of by path; what was said of them as it stands on their tapes; what
    # was worked out from them, with what worked it out.
    """
    CREATE TABLE coffee (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE COLLATE NOCASE);
    CREATE TABLE water (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE COLLATE NOCASE);
    CREATE TABLE scale (id INTEGER PRIMARY KEY, address TEXT NOT NULL UNIQUE);
    CREATE TABLE plan (id INTEGER PRIMARY KEY, plan TEXT NOT NULL UNIQUE);  -- JSON, as on the tape
    CREATE TABLE brew_2 (
        id INTEGER PRIMARY KEY,
        content TEXT UNIQUE,            -- SHA-256 of what was recorded; NULL until it was read
        tape TEXT,                      -- absolute path where it was seen last
        is_missing INTEGER NOT NULL DEFAULT 0,  -- 1 where the tape is not there any more
        recorded_at TEXT NOT NULL,      -- ISO 8601 with offset
        recorded_s REAL NOT NULL,       -- the same in seconds since 1970, for the order
        taped_by TEXT,                  -- who brewed by the tape's header
        person_id INTEGER REFERENCES person(id),  -- who brewed, by what was said last
        coffee_id INTEGER REFERENCES coffee(id),
        water_id INTEGER REFERENCES water(id),
        scale_id INTEGER REFERENCES scale(id),
        plan_id INTEGER REFERENCES plan(id),
        title TEXT,
        tags TEXT NOT NULL DEFAULT '',  -- between line ends, in order
        strength_percent REAL,          -- by the newest reading
        words TEXT NOT NULL DEFAULT '', -- all that a search looks through, small
        binned_at TEXT,                 -- ISO 8601 with offset; NULL unless in the bin
        binned_from TEXT                -- where its tape was before
    );
    INSERT INTO brew_2 (id, tape, recorded_at, recorded_s, person_id, taped_by)
        SELECT id, tape, recorded_at, COALESCE(CAST(strftime('%s', recorded_at) AS REAL), 0),
            person_id, (SELECT name FROM person WHERE person.id = person_id)
        FROM brew;
    CREATE TABLE tape (                 -- every file that is known to hold a brew
        path TEXT PRIMARY KEY,          -- absolute
        brew_id INTEGER REFERENCES brew_2(id) ON DELETE CASCADE,  -- NULL where it is no tape
        size INTEGER NOT NULL,          -- in bytes
        modified_ns INTEGER NOT NULL    -- since 1970
    );
    CREATE TABLE said (                 -- what was added after the brew, as on the tape
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        line TEXT NOT NULL,             -- its JSON object, without a time
        is_on_tape INTEGER NOT NULL,    -- 0 where the tape could not be written yet
        UNIQUE (brew_id, line)
    );
    CREATE TABLE cup_note (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL,
        least REAL NOT NULL,            -- the ends of the taster's own scale
        most REAL NOT NULL,
        aroma REAL, acidity REAL, body REAL, flavour REAL, aftertaste REAL, balance REAL,
        text TEXT NOT NULL
    );
    CREATE TABLE bed_look (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL,
        look TEXT NOT NULL,
        text TEXT NOT NULL
    );
    CREATE TABLE strength_2 (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        taken_at TEXT NOT NULL,
        strength REAL NOT NULL,         -- mass fraction of dissolved solids
        strength_error REAL NOT NULL,   -- one standard error
        beverage_g REAL                 -- NULL where only the water is known
    );
    CREATE TABLE remark_2 (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL,
        kind TEXT NOT NULL,
        text TEXT NOT NULL
    );
    CREATE TABLE tag (
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        name TEXT NOT NULL COLLATE NOCASE,
        PRIMARY KEY (brew_id, name)
    );
    CREATE TABLE judgement (            -- worked out from the tape, to be worked out again
        brew_id INTEGER PRIMARY KEY REFERENCES brew_2(id) ON DELETE CASCADE,
        made_by TEXT NOT NULL,          -- the version of the program, and of what judges in it
        rubric TEXT NOT NULL,           -- the rubric's own name and a hash of what it asks
        water_g REAL,
        brew_s REAL,
        headline TEXT NOT NULL,
        marks_met INTEGER NOT NULL,
        marks_of INTEGER NOT NULL,
        findings TEXT NOT NULL,         -- kinds between spaces, in the order in which they came
        figures TEXT NOT NULL,          -- all figures, as 'analyse --json' prints them
        curve BLOB NOT NULL             -- packed: s since first water, g, g/s
    );
    CREATE TABLE finding (
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        kind TEXT NOT NULL,
        stage TEXT,
        start_s REAL NOT NULL,          -- on the tape
        confidence REAL NOT NULL
    );
    CREATE TABLE mark (
        brew_id INTEGER NOT NULL REFERENCES brew_2(id) ON DELETE CASCADE,
        title TEXT NOT NULL,
        measure TEXT NOT NULL,
        stage TEXT,
        value REAL,
        least REAL NOT NULL,
        most REAL NOT NULL,
        met INTEGER,                    -- NULL where it could not be judged
        weight REAL NOT NULL
    );
    """,
    _say_what_was_kept,
    """
    DROP TABLE strength;
    DROP TABLE remark;
    DROP TABLE brew;
    ALTER TABLE brew_2 RENAME TO brew;
    ALTER TABLE strength_2 RENAME TO strength;
    ALTER TABLE remark_2 RENAME TO remark;
    CREATE INDEX brew_by_time ON brew(recorded_s DESC, id DESC);
    CREATE INDEX brew_by_person ON brew(person_id, recorded_s DESC);
    CREATE INDEX brew_by_tape ON brew(tape);
    CREATE INDEX tape_by_brew ON tape(brew_id);
    CREATE INDEX cup_note_by_brew ON cup_note(brew_id);
    CREATE INDEX bed_look_by_brew ON bed_look(brew_id);
    CREATE INDEX strength_by_brew ON strength(brew_id);
    CREATE INDEX remark_by_brew ON remark(brew_id);
    CREATE INDEX tag_by_name ON tag(name);
    CREATE INDEX finding_by_brew ON finding(brew_id);
    CREATE INDEX finding_by_kind ON finding(kind);
    CREATE INDEX mark_by_brew ON mark(brew_id);
    """,
    # What a practice pour came to, worked out from its tape, to be worked out again.
    """
    CREATE TABLE practised (
        tape PRIMARY KEY REFERENCES tape(path) ON DELETE CASCADE,
        size INTEGER NOT NULL,          -- of the tape it was worked out from, in bytes
        modified_ns INTEGER NOT NULL,   -- since 1970
        made_by TEXT NOT NULL,          -- the version of the program, and of what judges in it
        result TEXT NOT NULL            -- JSON, null where the pour has none
    );
    """,
    # A list of ten thousand brews reads no figures and no curves. What a bed looked like is a
    # remark, and nothing read it from a table of its own.
    """
    CREATE INDEX judgement_in_list ON judgement(
        brew_id, made_by, rubric, water_g, brew_s, headline, findings, marks_met, marks_of
    );
    CREATE INDEX said_off_tape ON said(brew_id) WHERE NOT is_on_tape;
    DROP TABLE bed_look;
    """,
)


def migrate(
    connection: sqlite3.Connection, path: str, last: Callable[[sqlite3.Connection], None]
) -> None:
    """Run the steps that the file has not had yet, and after them ``last``, as one change.

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
            if callable(step):
                step(connection)
            else:
                for statement in _statements(step):
                    connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {number}")
        last(connection)
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
