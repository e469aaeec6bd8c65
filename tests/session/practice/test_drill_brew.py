"""A pour of a drill through the real session, and again from its tape."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import SelfEstimate, Shown, Sight
from pourcoach.library.library import Library, library_path
from pourcoach.library.renaming import rename_person
from pourcoach.pipeline import Pipeline
from pourcoach.practice.assignment import Assignment, Mode
from pourcoach.practice.block.attempt import Attempt, Glance, Step
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import NONE, Part
from pourcoach.recordings.tape import read_tape
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.session.practice.progress import practice_progress
from pourcoach.session.practice.shelf import attempt_on, kept_pours
from pourcoach.session.settings import Settings
from tests.practice.driven import short_drill

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
# A pour of 5 s and the rest after it in half a second.
ADDRESS = "sim:learning?speed=60&seed=4"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def _course(now: datetime = NOON, **options: object) -> PracticeCourse:
    return PracticeCourse(
        short_drill(),
        ADDRESS,
        Settings(),
        now=lambda: now,
        by="Ada",
        **options,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(("address", "tilted"), [("kettle:", True), (ADDRESS, False)])
def test_the_kettle_of_a_pour_is_the_one_that_is_tilted(address: str, tilted: bool) -> None:
    course = PracticeCourse(short_drill(), address, Settings(), now=lambda: NOON, by="Ada")
    session = course.next()
    assert session is not None
    assert (session.kettle is not None, course.by_kettle) == (tilted, tilted)


async def _pour(session: PracticeSession) -> list[Glance]:
    seen: list[Glance] = []

    def on_glance(glance: Glance) -> None:
        fresh = not seen or glance.step is not seen[-1].step
        seen.append(glance)
        if fresh and glance.step is Step.ASKING:
            session.estimate(38.0)
        if fresh and glance.step in (Step.SHOWN, Step.OVER):
            session.stop()

    await session.run(on_glance)
    return seen


async def test_live_equals_replay_to_the_last_bit() -> None:
    course = _course(schedule=NONE, level=Level.PRACTISED)
    for _ in range(2):
        session = course.next()
        assert session is not None
        seen = await _pour(session)
        course.take(session)
    assert session.recording is not None
    tape = read_tape(session.recording)
    assert tape.header.practice is not None
    assignment = Assignment.from_dict(tape.header.practice)
    assert assignment == session.attempt.assignment
    assert tape.header.plan is not None
    pipeline = Pipeline(tape.header.plan, tape.header.setup)
    again = Attempt(assignment, tape.header.plan)
    replayed = [again.feed(item, pipeline.feed(item)) for item in tape.inputs]
    assert replayed == seen[: len(replayed)]
    assert again.result == session.attempt.result
    assert replayed[-1].step is Step.SHOWN


async def test_estimate_help_and_result_are_on_the_tape() -> None:
    course = _course()
    for _ in range(2):
        session = course.next()
        assert session is not None
        await _pour(session)
        course.take(session)
    assert session.recording is not None
    inputs = read_tape(session.recording).inputs
    said = [item for item in inputs if isinstance(item, SelfEstimate)]
    assert [item.value for item in said] == [38.0]
    shown = {item.what: item.t_s for item in inputs if isinstance(item, Shown)}
    assert list(shown) == [Sight.HELP, Sight.RESULT]
    assert shown[Sight.RESULT] > said[0].t_s


async def test_a_sitting_goes_on_where_the_last_one_stopped() -> None:
    course = _course(pours=2)
    while (session := course.next()) is not None:
        await _pour(session)
        course.take(session)
    assert [pour.past.part for pour in kept_pours("ada", "short")] == [Part.BASELINE, Part.BLOCK]
    left = _course().left
    assert (left[0].block, left[0].pour) == (1, 2)
    assert kept_pours("Bo") == ()


async def test_a_pour_broken_off_is_made_again() -> None:
    course = _course()
    session = course.next()
    assert session is not None
    await session.run(lambda glance: session.stop())
    assert course.take(session) is None
    assert course.left[0].part is Part.BASELINE
    assert kept_pours("Ada") == ()


async def test_the_summary_comes_with_the_last_pour_of_a_block() -> None:
    course = _course(schedule=NONE, level=Level.PRACTISED)
    summaries = []
    while (session := course.next()) is not None:
        await _pour(session)
        summaries.append(course.take(session))
    assert [made is None for made in summaries] == [True] * 5 + [False]
    assert summaries[-1] is not None
    assert summaries[-1].pours == 5
    assert summaries[-1].bias is not None
    assert summaries[-1].spread is not None


async def test_the_record_of_a_tape_is_what_was_seen() -> None:
    course = _course(schedule=NONE)
    for _ in range(2):
        session = course.next()
        assert session is not None
        await _pour(session)
        course.take(session)
    assert session.recording is not None
    kept = attempt_on(session.recording)
    assert kept is not None
    assert kept.result == session.attempt.result


def test_a_test_is_refused_before_it_is_due() -> None:
    with pytest.raises(UsageError, match="no test of short is due yet"):
        _course(part=Part.TEST)


async def test_a_test_comes_a_day_after_practice() -> None:
    course = _course(pours=2)
    while (session := course.next()) is not None:
        await _pour(session)
        course.take(session)
    early = _course(NOON + timedelta(hours=23))
    assert early.left[0].part is Part.BLOCK
    due = _course(NOON + timedelta(hours=24))
    assert {place.part for place in due.left} == {Part.TEST}
    session = due.next()
    assert session is not None
    seen = await _pour(session)
    assert all(glance.result is None for glance in seen)
    assert session.attempt.result is not None


async def test_assist_is_kept_apart() -> None:
    course = _course(mode=Mode.ASSIST)
    session = course.next()
    assert session is not None
    seen = await _pour(session)
    assert any(glance.frame is not None and glance.step is Step.POURING for glance in seen)
    assert course.take(session) is None
    kept = kept_pours("Ada")
    assert [pour.assignment.mode for pour in kept] == [Mode.ASSIST]


async def test_progress_is_worked_out_from_the_tapes_alone() -> None:
    course = _course(pours=2)
    while (session := course.next()) is not None:
        await _pour(session)
        course.take(session)
    due = _course(NOON + timedelta(hours=24))
    while (session := due.next()) is not None:
        await _pour(session)
        due.take(session)
    found = practice_progress("Ada", NOON + timedelta(hours=25))
    (drill,) = found.drills
    assert (drill.drill, drill.tests, drill.train.pours) == ("short", 4, 2)
    assert drill.bias is not None
    assert len(drill.estimates) == 6
    assert practice_progress("Bo", NOON).drills == ()


async def test_a_tape_is_folded_once_and_again_when_it_changes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    course = _course(pours=2)
    while (session := course.next()) is not None:
        await _pour(session)
        course.take(session)
    folded: list[Path] = []

    def counted(tape: Path) -> Attempt | None:
        folded.append(tape)
        return attempt_on(tape)

    monkeypatch.setattr("pourcoach.session.practice.progress.attempt_on", counted)
    first = practice_progress("Ada", NOON)
    assert len(folded) == 2
    assert practice_progress("Ada", NOON) == first
    assert len(folded) == 2
    with folded[0].open("a", encoding="utf-8") as tape:
        tape.write("\n")
    assert practice_progress("Ada", NOON) == first
    assert folded[2:] == folded[:1]


async def test_a_library_that_cannot_be_used_costs_no_progress(home: Path) -> None:
    course = _course(pours=1)
    session = course.next()
    assert session is not None
    await _pour(session)
    course.take(session)
    found = practice_progress("Ada", NOON)
    (home / "library.sqlite3").write_text("no library", encoding="utf-8")
    assert practice_progress("Ada", NOON) == found


async def test_pours_go_with_a_person_who_is_called_otherwise() -> None:
    course = _course(pours=1)
    session = course.next()
    assert session is not None
    await _pour(session)
    course.take(session)
    with Library(library_path()) as library:
        rename_person(library, "Ada", "Ada L")
    assert kept_pours("Ada") == ()
    assert len(kept_pours("Ada L")) == 1
