"""What a tape file is by its content: known again under any name, packed or not."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pourcoach.domain.afterwards import Afterword
from pourcoach.domain.documents import from_json, json_object
from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.printable import json_text
from pourcoach.domain.units import Seconds
from pourcoach.recordings.afterword_lines import decode_afterword, is_afterword
from pourcoach.recordings.bounded_lines import BrokenLineError, bounded_lines
from pourcoach.recordings.lines import LONGEST_S
from pourcoach.recordings.tape import TapeHeader, header_of

# Nobody says more of one brew; what a damaged or hostile file holds beyond is not kept.
MOST_AFTERWORDS = 2_000


@dataclass(frozen=True, slots=True)
class Signature:
    """What identifies an unchanged file without reading it."""

    size: int
    """In bytes."""
    modified_ns: int
    """Since 1970."""

    @classmethod
    def of(cls, path: Path) -> "Signature":
        """Raises OSError."""
        seen = path.stat()
        return cls(seen.st_size, seen.st_mtime_ns)


@dataclass(frozen=True, slots=True)
class TapeContents:
    """A tape as the library knows it."""

    header: TapeHeader
    content: str
    """SHA-256, in hex, of the lines that were recorded: the header to the end, without what was
    added after the brew. The same for a packed copy and for one with other line ends."""
    said: tuple[str, ...]
    """What was added after the brew, oldest first: each the line's JSON object without its time, in
    one canonical form, so that equal ones are equal texts."""
    last_s: Seconds
    """The tape's last time, for a line that is added."""
    signature: Signature


def contents_of(path: Path) -> TapeContents:
    """Read the whole file, holding one line of it.

    Raises WorkError where it cannot be read or does not begin as a tape does. A tape that breaks
    is known by what stands before the break.
    """
    try:
        signature = Signature.of(path)
    except (OSError, ValueError):
        signature = Signature(0, 0)  # Opening it says what is wrong.
    header = header_of(path)
    digest = hashlib.sha256()
    said: list[str] = []
    last_s = 0.0
    ended = False
    with bounded_lines(path) as lines:
        for line in _until_broken(lines):
            # Readings, nearly all of a tape, are no objects.
            data = json_object(line) if line.startswith(b"{") else None
            if is_afterword(data):
                assert data is not None
                if len(said) < MOST_AFTERWORDS:
                    said.append(canonical(data))
                continue
            if ended or not line:
                continue
            digest.update(line)
            digest.update(b"\n")
            last_s = _time(line, data, last_s)
            ended = data is not None and "end" in data
    return TapeContents(header, digest.hexdigest(), tuple(said), last_s, signature)


def afterwords_on(path: Path) -> list[Afterword]:
    """What was added to a tape after its brew, oldest first. WorkError as ``contents_of``."""
    decoded = (decode_afterword(from_json(line)) for line in contents_of(path).said)
    return [word for word in decoded if word is not None]


def canonical(data: dict[str, Any]) -> str:
    """An added line's object as one text, without its time: equal objects give equal texts."""
    return json_text({key: data[key] for key in sorted(data) if key != "t"})


def signature_of(path: Path) -> Signature | None:
    """None where there is no such file, or it may not be looked at."""
    try:
        return Signature.of(path)
    except (OSError, ValueError):
        return None


def refuse_unreadable(path: Path) -> None:
    """Raises WorkError where the file cannot be opened."""
    try:
        with path.open("rb"):
            pass
    except (OSError, ValueError) as error:
        raise WorkError(f"{path} cannot be read: {reason(error)}") from None


def _until_broken(lines: Iterator[bytes]) -> Iterator[bytes]:
    try:
        yield from lines
    except BrokenLineError:
        return


def _time(line: bytes, data: dict[str, Any] | None, last_s: Seconds) -> Seconds:
    """The line's time where it has a sound one, else that of the line before."""
    if data is not None:
        found = data.get("end", data.get("t"))
    else:
        try:
            found = float(line[1:].split(b",", 1)[0]) if line.startswith(b"[") else None
        except ValueError:
            found = None
    if isinstance(found, int | float) and last_s <= found <= LONGEST_S:
        return float(found)
    return last_s
