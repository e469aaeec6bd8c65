import gzip
import hashlib
import json
import random
import tempfile
from pathlib import Path
from typing import Any

import pytest

from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.domain.errors import UsageError
from pourcoach.recordings.afterword_lines import encode_afterword
from pourcoach.recordings.contents import contents_of
from pourcoach.sharing import tape_parts
from pourcoach.sharing.tape_parts import (
    Collected,
    PackedTape,
    missing_message,
    pack,
    read_missing,
    read_part,
    unpacked,
)
from pourcoach.sharing.tile_reader import LONGEST_MESSAGE

HEAD = b'{"pourcoach": 1, "by": "Ada", "plan": null}\n'
CHANCE = random.Random(1)
TAPE = HEAD + b"".join(b"[%d, %.3f]\n" % (n, CHANCE.random()) for n in range(6000))


def packed_from(data: bytes, suffix: str = ".jsonl", *, name: bool = True) -> PackedTape:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"brew{suffix}"
        path.write_bytes(data)
        return pack(path, name=name)


def collected(packed: PackedTape, *parts: int) -> Collected:
    found = Collected(packed.hash, len(packed.parts))
    for part in parts:
        read = read_part(packed.message(part))
        found.parts[read.part] = read.data
    return found


def test_parts_in_any_order_and_more_than_once_are_the_recording() -> None:
    packed = packed_from(TAPE)
    count = len(packed.parts)
    assert count >= 3
    order = [*range(count), *range(count)]
    random.Random(2).shuffle(order)
    assert collected(packed, *order).whole() == TAPE
    assert all(len(packed.message(part)) < LONGEST_MESSAGE for part in range(count))


def test_the_same_recording_has_the_same_hash_packed_or_not() -> None:
    plain, zipped = packed_from(TAPE), packed_from(gzip.compress(TAPE), ".jsonl.gz")
    assert plain.hash == zipped.hash == hashlib.sha256(TAPE).hexdigest()


def test_without_names_the_brewer_is_left_out_and_nothing_else() -> None:
    packed = packed_from(TAPE, name=False)
    whole = collected(packed, *range(len(packed.parts))).whole()
    assert b"Ada" not in whole
    head, _, rest = whole.partition(b"\n")
    assert json.loads(head) == {"pourcoach": 1, "plan": None}
    assert rest == TAPE.partition(b"\n")[2]


def test_what_was_said_after_the_brew_stays_here_and_changes_no_hash() -> None:
    ended = TAPE + b'{"end": 6001}\n'
    fact = encode_afterword(Fact(FactKind.BY, "Ben", "2026-01-15T09:30:00+00:00"))
    said = ended + json.dumps({"t": 6001} | fact).encode() + b"\n"
    packed = packed_from(said)
    assert packed.hash == packed_from(ended).hash
    assert b"Ben" not in collected(packed, *range(len(packed.parts))).whole()


def test_the_hash_is_what_the_library_knows_it_by(tmp_path: Path) -> None:
    path = tmp_path / "brew.jsonl"
    path.write_bytes(TAPE.replace(b"\n", b"\r\n"))
    assert pack(path, name=True).hash == contents_of(path).content


def test_what_is_missing_is_said() -> None:
    packed = packed_from(TAPE)
    found = collected(packed, 0, 2)
    assert found.missing == [part for part in range(len(packed.parts)) if part not in (0, 2)]
    assert read_missing(missing_message(packed.hash, found.missing)) == (
        packed.hash,
        found.missing,
    )


def test_a_recording_that_is_not_what_its_hash_says_is_refused() -> None:
    packed = packed_from(TAPE)
    whole = collected(packed, *range(len(packed.parts)))
    whole.hash = "0" * 64
    with pytest.raises(UsageError, match="hash"):
        whole.whole()


@pytest.mark.parametrize(
    "data", [b"", b"x", b"[1, 2]\n", b'{"other": 1}\n', b"\xff\n", b"\x1f\x8b"]
)
def test_what_is_no_recording_is_not_sent(data: bytes) -> None:
    with pytest.raises(UsageError):
        packed_from(data)


def test_a_bomb_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tape_parts, "MOST_BYTES", 100_000)
    bomb = gzip.compress(bytes(10_000_000))
    found = Collected(hashlib.sha256(bytes(10_000_000)).hexdigest(), 1, {0: bomb})
    with pytest.raises(UsageError, match="too long"):
        found.whole()


@pytest.mark.parametrize(
    "changes",
    [
        {"hash": "../../etc/passwd"},
        {"hash": "A" * 64},
        {"hash": 3},
        {"of": 0},
        {"of": 10**9},
        {"part": 99},
        {"part": -1},
        {"part": "0"},
        {"data": "***"},
        {"data": None},
        {"tape": 2},
    ],
)
def test_what_is_no_part_is_refused(changes: dict[str, Any]) -> None:
    message = json.loads(packed_from(TAPE).message(0)) | changes
    with pytest.raises(UsageError):
        read_part(json.dumps(message).encode())


@pytest.mark.parametrize(
    "payload", [b"{}", b'{"got": 1}', b'{"got": 1, "hash": "x", "missing": []}']
)
def test_what_is_no_answer_is_refused(payload: bytes) -> None:
    with pytest.raises(UsageError):
        read_missing(payload)


def test_what_is_cut_short_or_too_long_is_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    packed = gzip.compress(b"x" * 1000)
    with pytest.raises(UsageError, match="cut short"):
        unpacked(packed[:-9])
    monkeypatch.setattr(tape_parts, "MOST_BYTES", 999)
    with pytest.raises(UsageError, match="too long when unpacked"):
        unpacked(packed)
    monkeypatch.setattr(tape_parts, "MOST_BYTES", 1001)
    assert unpacked(packed) == b"x" * 1000
