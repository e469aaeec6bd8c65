"""What is said after the brew goes on the tape, and changes nothing of what the fold answers."""

import gzip
import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest

from pourcoach.domain.afterwards import (
    Afterword,
    CupNote,
    Fact,
    FactKind,
    Remark,
    RemarkKind,
    StrengthReading,
    Tag,
    check_cup_note,
)
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.recordings import appending
from pourcoach.recordings.afterword_lines import at_end, decode_afterword, encode_afterword
from pourcoach.recordings.appending import append_lines, rewrite
from pourcoach.recordings.contents import contents_of
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from tests.library.made_tapes import make_tape

if sys.platform != "win32":
    import fcntl

needs_locks = pytest.mark.skipif(sys.platform == "win32", reason="files are not locked there")

NOW = "2026-01-15T12:00:00+00:00"
WORDS: list[Afterword] = [
    Remark(RemarkKind.NOTE, "a «note» \\x1b[2J <b>", NOW),
    Remark(RemarkKind.TASTE, "sour", NOW),
    StrengthReading(0.0132, 0.0003, 280.0, NOW),
    StrengthReading(0.0132, 0.0003, None, NOW),
    CupNote(NOW, 0.0, 10.0, acidity=7.0, balance=0.0, text="plum"),
    Remark(RemarkKind.BED, "one side high", NOW),
    Tag("exam", NOW),
    Tag("exam", NOW, on=False),
    Fact(FactKind.COFFEE, "Washed 7", NOW),
    Fact(FactKind.BY, "Ada", NOW),
    Fact(FactKind.TITLE, "", NOW),
]


@pytest.mark.parametrize("word", WORDS, ids=lambda word: type(word).__name__)
def test_a_word_is_read_back_as_it_was(word: Afterword) -> None:
    line = json.loads(json.dumps(at_end(encode_afterword(word), 12.5)))
    assert line["t"] == 12.5
    assert decode_afterword(line) == word


@pytest.mark.parametrize(
    "line",
    [
        {"about": "something later"},
        {"about": "strength", "strength": "much"},
        {"about": "strength", "strength": 1e300, "strength_error": 0.0},
        {"about": "cup", "scale": [10, 0]},
        {"about": "cup", "scale": "ten"},
        {"about": ["tag"]},
        {"about": "tag", "name": ""},
        {},
    ],
)
def test_a_word_that_means_nothing_here_is_passed_over(line: dict[str, object]) -> None:
    assert decode_afterword({"input": "after", **line}) is None


def test_a_score_must_be_on_its_scale() -> None:
    with pytest.raises(UsageError, match="acidity 11 is not on the scale from 0 to 10"):
        check_cup_note(CupNote(NOW, 0.0, 10.0, acidity=11.0))
    with pytest.raises(UsageError, match="a scale from 10 to 0 is none"):
        check_cup_note(CupNote(NOW, 10.0, 0.0))


def say_all(path: Path) -> None:
    last_s = contents_of(path).last_s
    append_lines(path, [at_end(encode_afterword(word), last_s) for word in WORDS])


@pytest.mark.parametrize("cut", ["ended", "no end", "cut in a line"])
def test_what_is_said_changes_no_answer(tmp_path: Path, cut: str) -> None:
    source = Path(__file__).parents[2] / "recordings" / "steady.jsonl"
    path = tmp_path / "a.jsonl"
    # As far as into the second pour.
    data = b"".join(source.read_bytes().splitlines(keepends=True)[:600])
    if cut == "ended":
        data += b'{"end": 99.0}\n'
    elif cut == "cut in a line":
        data = data[:-5]
    path.write_bytes(data)
    before, content = read_tape(path), contents_of(path).content
    say_all(path)
    after = read_tape(path)
    assert (after.header, after.inputs, after.end_s) == (before.header, before.inputs, before.end_s)
    assert after.passed_over == 0
    assert final_frame(after) == final_frame(before)
    assert contents_of(path).content == content
    assert len(contents_of(path).said) == len(WORDS)


def test_a_packed_tape_takes_them_too_and_is_the_same_brew(tmp_path: Path) -> None:
    plain = make_tape(tmp_path / "a.jsonl")
    packed = tmp_path / "a.jsonl.gz"
    packed.write_bytes(gzip.compress(plain.read_bytes()))
    dos = tmp_path / "dos.jsonl"
    dos.write_bytes(plain.read_bytes().replace(b"\n", b"\r\n"))
    say_all(packed)
    contents = [contents_of(path) for path in (plain, packed, dos)]
    assert len({each.content for each in contents}) == 1
    assert [len(each.said) for each in contents] == [0, len(WORDS), 0]
    assert read_tape(packed) == read_tape(plain)


def test_another_reading_or_person_is_another_brew(tmp_path: Path) -> None:
    tapes = [
        make_tape(tmp_path / "a.jsonl"),
        make_tape(tmp_path / "b.jsonl", grams=0.1),
        make_tape(tmp_path / "c.jsonl", by="Ada"),
    ]
    assert len({contents_of(tape).content for tape in tapes}) == 3


def test_a_tape_being_recorded_is_left_alone(tmp_path: Path) -> None:
    from pourcoach.domain.inputs import Reading

    with TapeWriter(tmp_path / "a.jsonl", TapeHeader(), spares=()) as writer:
        writer.append(Reading(0.1, 0.0))
        before = writer.path.read_bytes()
        with pytest.raises(WorkError, match="being written by another program"):
            append_lines(writer.path, [{"t": 0.1}])
        assert writer.path.read_bytes() == before


def test_a_full_disk_leaves_no_half_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = make_tape(tmp_path / "a.jsonl")
    before = path.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WorkError, match="the disk is full"):
        append_lines(path, [{"t": 0.1}])
    assert path.read_bytes() == before


def test_rewriting_leaves_readings_byte_for_byte(tmp_path: Path) -> None:
    path = make_tape(tmp_path / "a.jsonl", by="Ada")
    say_all(path)
    before = path.read_bytes().splitlines()
    assert not rewrite(path, lambda data: data)

    def nameless(data: dict[str, object]) -> dict[str, object] | None:
        if data.get("about") == "by":
            return None
        return {key: value for key, value in data.items() if key != "by"}

    assert rewrite(path, nameless)
    after = path.read_bytes().splitlines()
    assert len(after) == len(before) - 1
    assert after[1:] == [line for line in before[1:] if b'"about": "by"' not in line]
    assert path.stat().st_mode & 0o777 == 0o600


@needs_locks
def test_nothing_is_added_while_a_tape_is_rewritten(tmp_path: Path) -> None:
    path = make_tape(tmp_path / "a.jsonl", by="Ada")

    def note_meanwhile(data: dict[str, object]) -> dict[str, object]:
        with pytest.raises(WorkError, match="being written by another program"):
            say_all(path)
        return {key: value for key, value in data.items() if key != "by"}

    assert rewrite(path, note_meanwhile)
    say_all(path)
    assert len(contents_of(path).said) == len(WORDS)


@needs_locks
@pytest.mark.parametrize("suffix", [".jsonl", ".jsonl.gz"])
def test_what_is_added_goes_to_the_file_that_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    """Another program rewrites the tape after this one opened it, and before it has the lock."""
    path = tmp_path / f"a{suffix}"
    plain = make_tape(tmp_path / "b.jsonl", by="Ada").read_bytes()
    path.write_bytes(gzip.compress(plain) if suffix.endswith(".gz") else plain)
    flock = fcntl.flock
    rewritten: list[bool] = []

    def late(file: Any, how: int) -> None:
        if not rewritten:
            rewritten.append(True)
            rewrite(path, lambda data: data | {"rewritten": True})
        flock(file, how)

    monkeypatch.setattr(appending.fcntl, "flock", late)
    say_all(path)
    assert rewritten
    assert len(contents_of(path).said) == len(WORDS)
