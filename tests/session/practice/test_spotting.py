"""Recordings to be watched, and a sitting of them."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.domain.frame import Frame
from pourcoach.practice.spotting.trial import SpotKind
from pourcoach.recordings.fold import final_frame
from pourcoach.session.practice.spot_recordings import kept_recording, simulated_recording
from pourcoach.session.practice.spotting import SpotCourse, spot_trials

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
STALL = Path(__file__).parents[3] / "recordings" / "stall.jsonl"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def test_a_simulated_recording_knows_its_one_fault() -> None:
    made = [simulated_recording(seed, 6.0) for seed in (0, 1)]
    assert [sum(w.kind is not None for w in one.windows) for one in made] == [0, 1]
    assert [one.level_db for one in made] == [None, 6.0]
    assert all(window.kind is None for window in made[0].windows)
    assert simulated_recording(1, 6.0) == made[1]


def test_a_large_fault_is_what_the_program_itself_finds() -> None:
    made = simulated_recording(4, 9.0)
    last = final_frame(made.tape)
    assert last is not None
    fault = next(window for window in made.windows if window.kind is not None)
    assert fault.kind is SpotKind.UNEVEN
    assert [flag.kind.value for flag in last.flags] == ["uneven"]


@pytest.mark.parametrize("seed", [1, 3])
def test_a_strong_gush_is_a_surge_and_no_touch(seed: int) -> None:
    made = simulated_recording(seed, 9.0)
    last = final_frame(made.tape)
    assert last is not None
    fault = next(window for window in made.windows if window.kind is not None)
    assert fault.kind is SpotKind.SURGE
    assert [flag.kind.value for flag in last.flags] == ["surge"]


def test_a_kept_recording_is_held_to_what_was_surely_found() -> None:
    made = kept_recording(STALL)
    assert not made.simulated
    assert made.level_db is None
    assert {window.kind for window in made.windows} >= {None, SpotKind.STALL}


def test_a_stage_with_a_doubtful_finding_is_neither_fault_nor_quiet() -> None:
    """Two knocks that are not quite sure: the stages in which they were are left out."""
    made = kept_recording(STALL.with_name("knocks-and-lift.jsonl.gz"))
    first, second, _ = (stage.start_s for stage in final_frame(made.tape).pour.stages)
    assert [(window.start_s, window.end_s, window.kind) for window in made.windows] == [
        (first, second, None)
    ]


async def _watch(course: SpotCourse, kind: SpotKind | None) -> list[Frame]:
    session = course.next()
    assert session is not None
    seen: list[Frame] = []

    def on_frame(frame: Frame) -> None:
        seen.append(frame)
        fault = next((w for w in session.recording.windows if w.kind is not None), None)
        if fault is not None and frame.t_s > fault.start_s and not session.trial.presses:
            session.press()
            session.name(kind)

    await session.run(on_frame)
    course.take(session, NOON)
    return seen


async def test_words_are_hidden_and_presses_kept() -> None:
    course = SpotCourse(by="Ada", seed=0, trials=1, speed=100.0, recordings=[STALL])
    seen = await _watch(course, SpotKind.STALL)
    assert len(seen) > 50
    assert all(frame.flags == () for frame in seen)
    assert len({frame.cue.word for frame in seen}) == 1
    assert course.next() is None
    kept = spot_trials("ada")
    assert [press.named for press in kept[0].presses] == [SpotKind.STALL]
    assert spot_trials("Bo") == []


async def test_a_later_sitting_goes_on_from_the_threshold() -> None:
    course = SpotCourse(by="Ada", seed=1, trials=1, speed=100.0)
    await _watch(course, None)
    again = SpotCourse(by="Ada", seed=1, trials=1, speed=100.0)
    assert again.threshold.next_level_db == course.threshold.next_level_db
    assert len(again.kept) == 1


def test_a_broken_line_is_passed_over(home: Path) -> None:
    (home / "spotted.jsonl").write_text('{"by": "Ada"}\nrubbish\n', encoding="utf-8")
    assert spot_trials("Ada") == []
