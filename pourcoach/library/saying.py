"""What is said of a brew afterwards, put on its tape first and then in the tables."""

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from pourcoach.domain.afterwards import Afterword
from pourcoach.domain.documents import from_json
from pourcoach.domain.errors import WorkError
from pourcoach.library.copying import copy_tape
from pourcoach.library.describing import describe
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import Library
from pourcoach.library.paths import path_key, path_of
from pourcoach.places import tapes_folder
from pourcoach.recordings.afterword_lines import at_end, encode_afterword
from pourcoach.recordings.appending import append_lines
from pourcoach.recordings.contents import canonical, contents_of
from pourcoach.recordings.shipped import shipped_folder


def say(library: Library, number: int, words: Sequence[Afterword]) -> str | None:
    """Say ``words`` of the brew of that number: on its tape, and in the library.

    Where the tape may not be changed, it is copied beside the others first. Where it is gone or
    being written, the library keeps the words and puts them on it once it can; a sentence then says
    so, else None. Raises WorkError where the library refuses.
    """
    lines = [canonical(encode_afterword(word)) for word in words]
    with library.changing() as connection:
        connection.executemany(
            "INSERT INTO said (brew_id, line, is_on_tape) VALUES (?, ?, 0)"
            " ON CONFLICT (brew_id, line) DO NOTHING",
            [(number, line) for line in lines],
        )
        describe(connection, number)
    try:
        put_on_tape(library, number)
    except WorkError as error:
        return f"it is kept in the library, and not yet on the recording: {error.what}"
    return None


def put_on_tape(library: Library, number: int) -> None:
    """Put what is not on the brew's tape yet at its end.

    Raises WorkError where the tape is gone or cannot be written.
    """
    with library.asking() as connection:
        rows = connection.execute(
            "SELECT line FROM said WHERE brew_id = ? AND NOT is_on_tape ORDER BY id", (number,)
        ).fetchall()
        found = connection.execute("SELECT tape FROM brew WHERE id = ?", (number,)).fetchone()
    if not rows or found is None:
        return
    tape = _own_tape(library, number, path_of(found[0] or ""))
    contents = contents_of(tape)
    lines = [from_json(line) for (line,) in rows if line not in contents.said]
    append_lines(tape, [at_end(line, contents.last_s) for line in lines])
    enter_tape(library, tape)


def put_all_on_tapes(library: Library) -> None:
    """What waits for a tape that is there now. What cannot be written goes on waiting."""
    with library.asking() as connection:
        waiting = connection.execute(
            "SELECT DISTINCT brew_id FROM said JOIN brew ON brew.id = brew_id"
            " WHERE NOT is_on_tape AND NOT is_missing"
        ).fetchall()
    for (number,) in waiting:
        with suppress(WorkError):
            put_on_tape(library, number)


def _own_tape(library: Library, number: int, tape: Path) -> Path:
    """The tape, or a copy among the user's own where it may not be changed."""
    if not tape.is_file():
        raise WorkError(f"there is no recording {tape} any more", "import it again if you have it")
    if tape.parent == shipped_folder() or not os.access(tape, os.W_OK):
        tape = copy_tape(tape, tapes_folder())
        with library.changing() as connection:
            connection.execute("UPDATE brew SET tape = ? WHERE id = ?", (path_key(tape), number))
    return tape
