"""Reading tapes: good, old, new, cut off and broken."""

import gzip
import json
import tracemalloc
from pathlib import Path

import pytest

from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Note, Reading, Tare
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.setup import Setup
from pourcoach.recordings.tape import (
    MOST_IN_A_SECOND,
    MOST_KEYS,
    TapeHeader,
    header_of,
    open_tape,
    read_tape,
)

HEADER = '{"pourcoach": 1, "recorded_at": "2026-01-15T09:30:00+00:00", "plan": null}\n'
PLAN = Plan(
    dose_g=20.0,
    ratio=16.0,
    water_g=320.0,
    bloom_s=35.0,
    finish_s=190.0,
    stages=(Stage("bloom", 0.0, 40.0, 5.0), Stage("pour 1", 35.0, 320.0, 5.0)),
)


def write(folder: Path, text: str | bytes, name: str = "a.jsonl") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def test_a_good_tape_is_read_whole(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        HEADER + '[0.1, 0.0]\n{"t": 0.2, "input": "tare"}\n{"t": 0.3, "note": "n"}\n{"end": 4.5}\n',
    )
    tape = read_tape(path)
    assert tape.inputs == (Reading(0.1, 0.0), Tare(0.2), Note(0.3, "n"))
    assert (tape.end_s, tape.last_s, tape.problem) == (4.5, 4.5, None)


def test_a_tape_without_an_end_is_still_a_good_tape(tmp_path: Path) -> None:
    tape = read_tape(write(tmp_path, HEADER + "[0.1, 0.0]\n[0.2, 0.1]\n"))
    assert (tape.end_s, tape.last_s, tape.problem) == (None, 0.2, None)


def test_unknown_keys_and_kinds_are_taken_in_stride(tmp_path: Path) -> None:
    tape = read_tape(
        write(tmp_path, '{"pourcoach": 1, "mood": "good"}\n{"t": 1, "input": "hum"}\n[2.0, 0.1]\n')
    )
    assert tape.inputs == (Reading(2.0, 0.1),)
    assert (tape.passed_over, tape.problem) == (1, None)


@pytest.mark.parametrize(
    ("broken", "why"),
    [
        ("[0.3, 1.", "it is no JSON"),
        ("[0.3]", "a reading needs a time and a weight"),
        ("[0.05, 1.0]", "its time lies before the line above"),
        ("\x00\x01", "it is no JSON"),
    ],
)
def test_a_broken_line_is_named_and_all_before_it_kept(
    tmp_path: Path, broken: str, why: str
) -> None:
    tape = read_tape(write(tmp_path, HEADER + f"[0.1, 0.0]\n[0.2, 0.1]\n{broken}\n[0.4, 0.2]\n"))
    assert tape.inputs == (Reading(0.1, 0.0), Reading(0.2, 0.1))
    assert tape.problem == f"line 4 is broken ({why}); 2 inputs before it are kept"


def test_damaged_bytes_cost_no_line_before_them(tmp_path: Path) -> None:
    tape = read_tape(write(tmp_path, HEADER.encode() + b"[0.1, 0.0]\n\xff\xfe\xfd\n"))
    assert tape.inputs == (Reading(0.1, 0.0),)
    assert tape.problem is not None


def test_a_zipped_tape_cut_off_keeps_what_was_whole(tmp_path: Path) -> None:
    lines = HEADER + "".join(f"[{i / 10}, {i * 0.37:.2f}]\n" for i in range(5000))
    whole = gzip.compress(lines.encode())
    tape = read_tape(write(tmp_path, whole[: len(whole) // 2], "a.jsonl.gz"))
    assert len(tape.inputs) > 1000
    assert tape.problem is not None
    assert len(read_tape(write(tmp_path, whole, "b.jsonl.gz")).inputs) == 5000


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "is empty"),
        ("hello\n", "is no recording: it is no JSON"),
        ("[1, 2]\n", "is no recording: its first line is no header of a recording"),
        ('{"pourcoach": 2}\n', "of version 2"),
        ('{"pourcoach": 1, "plan": {"dose_g": 20}}\n', "its first line, plan.ratio is missing"),
        ('{"pourcoach": 1, "plan": []}\n', "its first line, plan is"),
        ('{"pourcoach": 1, "scale": "bench"}\n', "first line, scale is 'bench'; make it a table"),
        ('{"pourcoach": 1, "settings": "none"}\n', "its first line, settings is 'none'"),
        ('{"pourcoach": 1, "settings": {"reaction_s": "1"}}\n', "settings.reaction_s is '1'"),
        ('{"pourcoach": 1, "arrangement": "upside-down"}\n', "upside-down"),
    ],
)
def test_what_is_no_tape_is_refused_with_the_reason(tmp_path: Path, text: str, why: str) -> None:
    with pytest.raises(WorkError, match=why):
        read_tape(write(tmp_path, text))


def test_no_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match="there is no file"):
        read_tape(tmp_path / "none.jsonl")
    with pytest.raises(WorkError, match="is a folder"):
        read_tape(tmp_path)


def test_a_header_is_read_without_what_follows(tmp_path: Path) -> None:
    """A packed tape that breaks off right behind its first line, and a line that never ends."""
    path = write(tmp_path, HEADER + "[" + "0" * 5_000_000)
    assert header_of(path) == header_of(write(tmp_path, HEADER, "b.jsonl"))
    packed = gzip.compress(HEADER.encode()) + b"no more of it"
    assert header_of(write(tmp_path, packed, "c.jsonl.gz")) == header_of(path)


def test_the_header_round_trips() -> None:
    header = TapeHeader(
        plan=PLAN,
        setup=Setup(Arrangement.SERVER_ON_SCALE, reaction_s=0.3, scale_delay_s=0.2),
        recorded_at="2026-01-15T09:30:00+00:00",
        scale={"address": "sim:steady", "rate_hz": 10},
        by="Ada",
    )
    assert TapeHeader.from_dict(header.as_dict()) == header


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('{"end": Infinity}', "Infinity is no number"),
        ('{"end": 1e300}', "no number that a scale sends"),
        ('{"end": 0.1}', "does not fit the last input"),
        ('{"end": 90000}', "does not fit the last input"),
        ('{"end": "x"}', "not a number"),
        ("[700000, 0]", "longer than any brew"),
        ("[" * 50_000, "nested too deeply"),
        ("[0.3, " + "1" * 70_000 + "]", "longer than any line"),
        ('[0.3, 1, {"corners_g": [' + ", ".join("1" * 20) + "]}]", "no list of up to 16"),
    ],
)
def test_a_line_beyond_all_bounds_breaks_the_tape_there(
    tmp_path: Path, line: str, why: str
) -> None:
    tape = read_tape(write(tmp_path, HEADER + f"[0.1, 0.0]\n[0.2, 0.1]\n{line}\n"))
    assert len(tape.inputs) == 2
    assert tape.end_s is None
    assert tape.problem is not None
    assert why in tape.problem


def test_more_readings_than_any_scale_gives_break_the_tape(tmp_path: Path) -> None:
    tape = read_tape(write(tmp_path, HEADER + "[0.1, 0.0]\n" * (MOST_IN_A_SECOND + 10)))
    assert len(tape.inputs) == MOST_IN_A_SECOND
    assert tape.problem is not None
    assert "no scale gives more" in tape.problem


def test_more_keys_than_anybody_presses_break_the_tape(tmp_path: Path) -> None:
    lines = "".join(f'{{"t": {n}, "input": "mark"}}\n' for n in range(MOST_KEYS + 10))
    tape = read_tape(write(tmp_path, HEADER + lines))
    assert len(tape.inputs) == MOST_KEYS


def test_a_longer_tape_than_is_held_is_given_up_to_there(tmp_path: Path) -> None:
    path = write(tmp_path, HEADER + "".join(f"[{n}, 0]\n" for n in range(10)))
    with open_tape(path, most=4) as stream:
        assert len(list(stream)) == 4
        assert stream.problem is not None
        assert stream.problem.startswith("line 6 is broken (more than 4 inputs are too many here;")
        assert stream.problem.endswith("4 inputs before it are kept")


def test_a_packed_bomb_costs_no_memory(tmp_path: Path) -> None:
    bomb = gzip.compress(HEADER.encode() + b"[0.1, 0.0]\n" + b" " * 50_000_000)
    path = write(tmp_path, bomb, "a.jsonl.gz")
    tracemalloc.start()
    try:
        tape = read_tape(path)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert len(tape.inputs) == 1
    assert peak < 5_000_000


def test_names_from_outside_hold_nothing_that_a_terminal_obeys(tmp_path: Path) -> None:
    plan = {**PLAN.as_dict()}
    plan["stages"][0]["name"] = "\x1b]0;x\x07" + "y" * 100_000
    header = json.dumps({"pourcoach": 1, "by": "A\u202eda", "plan": plan})
    with pytest.raises(WorkError, match="longer than any line"):
        read_tape(write(tmp_path, header + "\n"))
    plan["stages"][0]["name"] = "\x1b]0;x\x07"
    header = json.dumps({"pourcoach": 1, "by": "A\u202eda", "plan": plan})
    tape = read_tape(write(tmp_path, header + "\n"))
    assert tape.header.by == r"A\u202eda"
    assert tape.header.plan is not None
    assert tape.header.plan.stages[0].name == r"\x1b]0;x\x07"
