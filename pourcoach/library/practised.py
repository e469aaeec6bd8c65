"""What practice pours came to, kept so that a tape need not be folded again."""

import os
from collections.abc import Callable
from pathlib import Path

from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.printable import json_text
from pourcoach.library.judged import judging_version
from pourcoach.library.library import Library
from pourcoach.library.paths import path_key
from pourcoach.places import OWNER_ONLY_FILE, data_folder

_WRITE = os.O_WRONLY | os.O_CREAT | os.O_TRUNC


def practice_logs() -> tuple[Path, Path]:
    """What was spotted, and what was judged by eye: a line of JSON each, with who it was."""
    return data_folder() / "spotted.jsonl", data_folder() / "judged.jsonl"


def forget_practice(name: str) -> bool:
    """Take a person's lines out of the logs; whether there were any. Raises WorkError."""
    return _changed(name, lambda _: "")


def rename_practice(name: str, new: str) -> bool:
    """Say that the person's lines are of ``new``; whether there were any. Raises WorkError."""
    return _changed(name, lambda line: json_text(from_json(line) | {"by": new}) + "\n")


def people_by_tape(library: Library) -> dict[str | bytes, str]:
    """Who brewed what is on each tape, by what was said last; those of nobody are left out."""
    with library.asking() as connection:
        return dict(
            connection.execute(
                "SELECT tape.path, person.name FROM tape JOIN brew ON brew.id = tape.brew_id"
                " JOIN person ON person.id = brew.person_id"
            )
        )


def _changed(name: str, change: Callable[[str], str]) -> bool:
    """Change the person's lines of both logs; whether there were any."""
    found = False
    for path in practice_logs():
        try:
            lines = path.read_text(encoding="utf-8", errors="replace").splitlines(keepends=True)
        except FileNotFoundError:
            continue
        except OSError as error:
            raise WorkError(f"cannot read {path}: {reason(error)}") from None
        changed = [change(line) if _is_by(line, name) else line for line in lines]
        if changed == lines:
            continue
        found = True
        new = path.with_name(path.name + ".new")
        try:
            with os.fdopen(os.open(new, _WRITE, OWNER_ONLY_FILE), "w", encoding="utf-8") as file:
                file.writelines(changed)
            new.replace(path)
        except OSError as error:
            raise WorkError(f"cannot write {path}: {reason(error)}") from None
    return found


def _is_by(line: str, name: str) -> bool:
    try:
        data = from_json(line)
    except DocumentError:
        return False
    by = data.get("by") if isinstance(data, dict) else None
    return isinstance(by, str) and by.casefold() == name.casefold()


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
