"""What practice leaves beside the brews: a log for each kind, a line of JSON with who it was."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar

from pourcoach.domain.documents import json_object
from pourcoach.domain.errors import PourcoachError, WorkError, reason
from pourcoach.domain.printable import json_text
from pourcoach.library.names import is_named_in
from pourcoach.places import data_folder
from pourcoach.text_file import append_line, write_atomically

T = TypeVar("T")


def spotting_log() -> Path:
    """The log of all recordings that were watched for faults."""
    return data_folder() / "spotted.jsonl"


def judging_log() -> Path:
    """The log of all brews that were marked by eye."""
    return data_folder() / "judged.jsonl"


def practice_logs() -> tuple[Path, ...]:
    """All of them."""
    return spotting_log(), judging_log()


def log_practice(log: Path, by: str | None, at: datetime, data: Mapping[str, Any]) -> None:
    """Add a line. Raises WorkError where it cannot be written."""
    line = {"by": by, "at": at.isoformat(timespec="seconds"), **data}
    append_line(log, json_text(line))


def practice_of(log: Path, by: str | None, decode: Callable[[dict[str, Any]], T]) -> list[T]:
    """What ``decode`` makes of one person's lines, oldest first; broken ones are passed over."""
    try:
        lines = _lines(log)
    except OSError:
        return []
    found: list[T] = []
    for line in lines:
        data = json_object(line)
        if data is not None and _is_by(data, by):
            with suppress(PourcoachError, ValueError, TypeError, KeyError):
                found.append(decode(data))
    return found


def has_practised(name: str) -> bool:
    """Whether any log has a line of the person's."""
    return any(practice_of(log, name, dict) for log in practice_logs())


def forget_practice(name: str) -> bool:
    """Take a person's lines out of the logs, and out of others' lines the names of recordings that
    are called after them; whether there were any. Raises WorkError.
    """

    def without(data: dict[str, Any]) -> dict[str, Any] | None:
        if _is_by(data, name):
            return None
        named = is_named_in(Path(str(data.get("recording"))).name, name)
        return data | {"recording": None} if named else data

    return _change_lines(without)


def rename_practice(name: str, new: str) -> bool:
    """Say that the person's lines are of ``new``; whether there were any. Raises WorkError."""
    return _change_lines(lambda data: data | {"by": new} if _is_by(data, name) else data)


def _change_lines(change: Callable[[dict[str, Any]], dict[str, Any] | None]) -> bool:
    """Change the lines of all logs, None leaving one out; whether anything changed."""
    found = False
    for log in practice_logs():
        try:
            lines = _lines(log)
        except FileNotFoundError:
            continue
        except OSError as error:
            raise WorkError(f"cannot read {log}: {reason(error)}") from None
        changed = []
        for line in lines:
            data = json_object(line)
            new = None if data is None else change(data)
            if data is None or new == data:
                changed.append(line)
            elif new is not None:
                changed.append(json_text(new) + "\n")
        if changed != lines:
            found = True
            write_atomically(log, "".join(changed))
    return found


def _lines(log: Path) -> list[str]:
    """With their ends."""
    return log.read_text(encoding="utf-8", errors="replace").splitlines(keepends=True)


def _is_by(data: dict[str, Any], name: str | None) -> bool:
    by = data.get("by")
    if by is None or name is None:
        return by is name
    return isinstance(by, str) and by.casefold() == name.casefold()
