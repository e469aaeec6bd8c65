"""A finished recording on its way: packed, cut into parts, put together and checked again."""

import base64
import gzip
import hashlib
import json
import zlib
from dataclasses import dataclass, field
from pathlib import Path

from pourcoach.domain.documents import json_object
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import number_in
from pourcoach.domain.printable import json_text
from pourcoach.recordings.afterword_lines import is_afterword
from pourcoach.recordings.bounded_lines import bounded_lines
from pourcoach.sharing.tile import VERSION
from pourcoach.sharing.tile_reader import read_message

PART_BYTES = 9000
"""So that a part is a message of 12 kB: base64 takes a third more."""
MOST_PARTS = 4000
MOST_BYTES = 64_000_000
"""Unpacked: what the program reads as a recording at all. A packed bomb is cut off there."""
HASH_LENGTH = 64


@dataclass(frozen=True, slots=True)
class PackedTape:
    """Ready to be sent."""

    hash: str
    """SHA-256 of what was recorded, in hex, as the library knows it: the same recording has the
    same one for ever, whatever is added to it later."""
    parts: tuple[bytes, ...]

    def message(self, part: int) -> bytes:
        """The JSON message of one part, from 0."""
        data = base64.b64encode(self.parts[part]).decode("ascii")
        message = {"tape": VERSION, "hash": self.hash, "part": part, "of": len(self.parts)}
        return json_text(message | {"data": data}).encode()


def pack(path: Path, *, name: bool) -> PackedTape:
    """Pack what was recorded, without what was added after the brew; without ``name`` the brewer's
    is left out, too.

    Raises WorkError where it cannot be read, UsageError for what is no recording, or too long.
    """
    lines: list[bytes] = []
    size = 0
    with bounded_lines(path) as found:
        for line in found:
            if not lines:
                line = _header(line, name=name)
            data = json_object(line) if line.startswith(b"{") else None
            if not line or is_afterword(data):
                continue
            lines.append(line)
            size += len(line) + 1
            if size > MOST_BYTES:
                raise UsageError(f"{path} is too long to be sent")
            if data is not None and "end" in data:
                break
    content = b"".join(line + b"\n" for line in lines)
    packed = gzip.compress(content, mtime=0)
    parts = tuple(packed[at : at + PART_BYTES] for at in range(0, len(packed), PART_BYTES))
    if not lines or len(parts) > MOST_PARTS:
        raise UsageError(f"{path} is no recording that can be sent")
    return PackedTape(hashlib.sha256(content).hexdigest(), parts)


def _header(line: bytes, *, name: bool) -> bytes:
    header = json_object(line)
    if header is None or "pourcoach" not in header:
        raise UsageError("this is no recording")
    if name or "by" not in header:
        return line
    del header["by"]
    return json.dumps(header, ensure_ascii=False).encode("utf-8")


def unpacked(packed: bytes) -> bytes:
    """Raises UsageError for what is no gzip, and for more than MOST_BYTES."""
    try:
        unpacker = zlib.decompressobj(wbits=31)
        data = unpacker.decompress(packed, MOST_BYTES)
    except zlib.error:
        raise UsageError("a recording came that cannot be unpacked") from None
    if unpacker.unconsumed_tail or not unpacker.eof:
        raise UsageError("a recording came that is cut short, or too long when unpacked")
    return data


@dataclass(slots=True)
class Collected:
    """The parts of one recording that have come so far."""

    hash: str
    of: int
    parts: dict[int, bytes] = field(default_factory=dict)

    @property
    def missing(self) -> list[int]:
        return [part for part in range(self.of) if part not in self.parts]

    def whole(self) -> bytes:
        """What was sent. Raises UsageError where it is not what its hash says."""
        data = unpacked(b"".join(self.parts[part] for part in range(self.of)))
        if hashlib.sha256(data).hexdigest() != self.hash:
            raise UsageError("a recording came that is not what its hash says")
        return data


@dataclass(frozen=True, slots=True)
class TapePart:
    """One part as it came."""

    hash: str
    part: int
    of: int
    data: bytes


def read_part(payload: bytes | bytearray) -> TapePart:
    """Raises UsageError for what is no part of a recording."""
    message = read_message(payload, "tape")
    of = message.whole("of", 1, MOST_PARTS)
    part = message.whole("part", 0, of - 1)
    try:
        decoded = base64.b64decode(message.text("data"), validate=True)
    except ValueError:
        raise UsageError("a part of a recording cannot be read") from None
    return TapePart(read_hash(message.raw("hash")), part, of, decoded)


def read_hash(value: object) -> str:
    """Raises UsageError for what is no SHA-256 in hex: it becomes part of a file's name."""
    if (
        not isinstance(value, str)
        or len(value) != HASH_LENGTH
        or not set(value) <= set("0123456789abcdef")
    ):
        raise UsageError(f"{value!r:.80} is no hash of a recording")
    return value


def missing_message(hash_: str, missing: list[int]) -> bytes:
    """The answer to a part: which are still missing; none says that the recording has landed."""
    return json_text({"got": VERSION, "hash": hash_, "missing": missing[:MOST_PARTS]}).encode()


def read_missing(payload: bytes | bytearray) -> tuple[str, list[int]]:
    """The hash and the parts of an answer. Raises UsageError for what is none."""
    message = read_message(payload, "got")
    missing = message.raw("missing")
    if not isinstance(missing, list):
        raise UsageError("an answer does not say which parts are missing")
    parts = [int(number_in(part, "a part", least=0, most=MOST_PARTS)) for part in missing]
    return read_hash(message.raw("hash")), parts
