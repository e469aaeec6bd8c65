"""What practice pours came to, kept so that a tape need not be folded again."""

from pathlib import Path

from pourcoach.library.judged import judging_version
from pourcoach.library.library import Library
from pourcoach.library.paths import path_key


def people_by_tape(library: Library) -> dict[str | bytes, str]:
    """Who brewed what is on each tape, by what was said last; those of nobody are left out."""
    with library.asking() as connection:
        return dict(
            connection.execute(
                "SELECT tape.path, person.name FROM tape JOIN brew ON brew.id = tape.brew_id"
                " JOIN person ON person.id = brew.person_id"
            )
        )


def practised_before(library: Library, tape: Path) -> str | None:
    """The result's JSON; None where the tape or what judges it has changed since, or never was.

    Raises OSError where there is no such tape.
    """
    status = tape.stat()
    with library.asking() as connection:
        row = connection.execute(
            "SELECT result FROM practised"
            " WHERE tape = ? AND size = ? AND modified_ns = ? AND made_by = ?",
            (path_key(tape), status.st_size, status.st_mtime_ns, judging_version()),
        ).fetchone()
    return None if row is None else str(row[0])


def keep_practised(library: Library, tape: Path, result: str) -> None:
    """Keep a result's JSON, of a tape that the library knows; of another nothing is kept."""
    status = tape.stat()
    key = path_key(tape)
    with library.changing() as connection:
        connection.execute(
            "INSERT OR REPLACE INTO practised SELECT path, ?, ?, ?, ? FROM tape WHERE path = ?",
            (status.st_size, status.st_mtime_ns, judging_version(), result, key),
        )
