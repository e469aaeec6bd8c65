"""A person erased: from the library and from every tape that it knows. The brews stay, nameless."""

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

from markupsafe import escape

from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.printable import json_text, printable
from pourcoach.library.describing import describe
from pourcoach.library.entering import enter_tape
from pourcoach.library.library import Library
from pourcoach.library.names import is_named_in, name_pattern
from pourcoach.library.paths import path_key, path_of
from pourcoach.library.people import known_person
from pourcoach.library.practice_log import forget_practice
from pourcoach.places import tapes_folder
from pourcoach.recordings.appending import rewrite
from pourcoach.recordings.contents import contents_of
from pourcoach.recordings.writer import new_tape_path

ERASED = "(erased)"
"""Stands where a text named the person."""
# Free text, in which a name may stand among other words.
_TEXTS = {"note", "text", "name", "why", "title"}
# What a brew is judged by: a stage that is called like somebody is no trace of them.
_KEPT = {"plan", "settings", "scale"}
# What a review is exported as and may name somebody; the chart as PNG names nobody.
_REVIEWS = {".txt", ".html", ".csv", ".json", ".svg"}


@dataclass(frozen=True, slots=True)
class Erased:
    """What was done."""

    brews: int
    """How many were the person's."""
    tapes: int
    """How many files were written anew."""
    lost: list[Path] = field(default_factory=list)
    """Tapes that are not there any more, and that still hold the name if they come back."""


def erase_person(library: Library, name: str) -> Erased:
    """Take a person's name out of the library and of all tapes that it knows, also where notes on
    others' brews name them; what was learnt of them goes too.

    Raises WorkError where there is nobody of that name, and where a tape cannot be written: what
    was done before stays done, and asking again goes on with the rest.
    """
    name = known_person(library, name).name
    with library.asking() as connection:
        own = {
            number
            for (number,) in connection.execute(
                "SELECT brew.id FROM brew LEFT JOIN person ON person.id = person_id"
                " WHERE person.name = :name OR taped_by = :name COLLATE NOCASE",
                {"name": name},
            )
        }
        files = [
            (path_of(key), number)
            for key, number in connection.execute("SELECT path, brew_id FROM tape")
        ]
        lost = [
            path_of(tape)
            for number, tape in connection.execute("SELECT id, tape FROM brew WHERE is_missing")
            if number in own and tape is not None
        ]
    tapes = 0
    for path, number in files:
        if path.is_file() and number is not None:
            tapes += _erase_from_tape(library, path, number, name, own=number in own)
    _erase_from_library(library, name, own)
    _erase_from_reviews(name)
    forget_practice(name)
    library.forget_deleted()
    return Erased(len(own), tapes, lost)


def _erase_from_tape(library: Library, path: Path, number: int, name: str, *, own: bool) -> bool:
    change: Callable[[dict[str, Any]], dict[str, Any] | None] = partial(
        _without, name=name, own=own
    )
    if not rewrite(path, change) and not is_named_in(path.name, name):
        return False
    new = path
    if is_named_in(path.name, name):
        new = _renamed(path)
    contents = contents_of(new)
    with library.changing() as connection:
        connection.execute("DELETE FROM tape WHERE path = ?", (path_key(path),))
        if path != new:
            connection.execute(
                "UPDATE brew SET tape = ? WHERE tape = ?", (path_key(new), path_key(path))
            )
        same = connection.execute(
            "SELECT id FROM brew WHERE content = ?", (contents.content,)
        ).fetchone()
        if same is None:
            connection.execute(
                "UPDATE brew SET content = ? WHERE id = ?", (contents.content, number)
            )
        elif same[0] != number:
            # The same brew was there without the name.
            connection.execute("UPDATE tape SET brew_id = ? WHERE brew_id = ?", (*same, number))
            connection.execute("DELETE FROM brew WHERE id = ?", (number,))
        enter_tape(library, new, contents)
    return True


def _without(data: dict[str, Any], name: str, *, own: bool) -> dict[str, Any] | None:
    """A tape's object without the person; None for one that says nothing else."""
    if data.get("about") == "by" and (own or _is(data.get("name"), name)):
        return None
    if own and "pourcoach" in data:
        data = {key: value for key, value in data.items() if key != "by"}
    cleared = _scrubbed(data, name)
    return {key: value for key, value in cleared.items() if value is not None or data[key] is None}


def _scrubbed(data: dict[str, Any], name: str) -> dict[str, Any]:
    return {key: value if key in _KEPT else scrub(value, name, key) for key, value in data.items()}


def scrub(value: Any, name: str, key: str = "") -> Any:
    """The value without the person: None for their name alone, free text with ERASED for it."""
    if isinstance(value, dict):
        return {each: scrub(inner, name, each) for each, inner in value.items()}
    if isinstance(value, list):
        return [scrub(inner, name, key) for inner in value]
    if not isinstance(value, str):
        return value
    if key in _TEXTS:
        return name_pattern(name).sub(ERASED, value)
    return None if _is(value, name) else value


def _erase_from_library(library: Library, name: str, own: set[int]) -> None:
    """What no tape holds: of missing tapes, waiting words, learnt figures."""
    with library.changing() as connection:
        touched = set(own)
        for identity, number, line in connection.execute(
            "SELECT id, brew_id, line FROM said"
        ).fetchall():
            data = json.loads(line)
            new = _without(data, name, own=number in own)
            if new == data:
                continue
            touched.add(number)
            connection.execute("DELETE FROM said WHERE id = ?", (identity,))
            if new is not None:
                connection.execute(
                    "INSERT OR IGNORE INTO said (id, brew_id, line, is_on_tape)"
                    " VALUES (?, ?, ?, 1)",
                    (identity, number, json_text(new)),
                )
        for number, figures in connection.execute(
            "SELECT brew_id, figures FROM judgement"
        ).fetchall():
            data = json.loads(figures)
            new = _scrubbed(data, name)
            if number in own:
                new["by"] = None
            if new != data:
                connection.execute(
                    "UPDATE judgement SET figures = ? WHERE brew_id = ?", (json_text(new), number)
                )
        for number in own:
            connection.execute("UPDATE brew SET taped_by = NULL WHERE id = ?", (number,))
        for (number,) in connection.execute("SELECT id FROM brew").fetchall():
            # Not one that became one with another on the way.
            if number in touched:
                describe(connection, number)
        connection.execute("DELETE FROM person WHERE name = ?", (name,))


def _erase_from_reviews(name: str) -> None:
    """Reviews that were exported beside the tapes: they name the brewer and quote notes."""
    if not tapes_folder().is_dir():
        return
    patterns = [name_pattern(form) for form in {name, str(escape(name))}]
    for path in tapes_folder().rglob("*-review*"):
        if path.suffix.lower() not in _REVIEWS:
            continue
        with suppress(OSError, UnicodeDecodeError):
            text = cleared = path.read_bytes().decode()
            for pattern in patterns:
                cleared = pattern.sub(ERASED, cleared)
            if cleared != text:
                path.write_bytes(cleared.encode())


def _renamed(path: Path) -> Path:
    """A name that says no more than when the file was written."""
    try:
        changed = datetime.fromtimestamp(path.stat().st_mtime).astimezone()
        new = new_tape_path(path.parent, changed)
        if path.name.endswith(".gz"):
            new = new.with_name(new.name + ".gz")
        path.rename(new)
    except OSError as error:
        raise WorkError(f"{path} cannot be renamed: {reason(error)}") from None
    return new


def _is(value: object, name: str) -> bool:
    return isinstance(value, str) and printable(value).casefold() == name.casefold()
