"""Which pours come next, and when a test is due."""

from datetime import UTC, datetime, timedelta

from pourcoach.practice.assignment import Mode
from pourcoach.practice.course import PastPour, next_places, next_test
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import NONE, USUAL, Part, Place

START = datetime(2026, 3, 2, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = 24 * HOUR


def _past(part: Part, at: datetime, block: int = 0, pours: int = 1) -> list[PastPour]:
    return [PastPour(Mode.TRAIN, part, block, pour + 1, at) for pour in range(pours)]


def _next(history: list[PastPour], now: datetime) -> tuple[Place, ...]:
    return next_places(history, now, USUAL, Level.BEGINNER, 7)


def test_a_student_begins_with_a_baseline_and_the_first_block() -> None:
    first, *block = _next([], START)
    assert first.part is Part.BASELINE
    assert [place.pour for place in block] == [1, 2, 3, 4, 5]
    assert {place.block for place in block} == {1}


def test_a_block_broken_off_goes_on_where_it_stopped() -> None:
    history = _past(Part.BASELINE, START) + _past(Part.BLOCK, START, 1, 3)
    assert _next(history, START + HOUR) == USUAL.places(1, Level.BEGINNER, 7)[3:]


def test_after_a_block_comes_the_next_one() -> None:
    history = _past(Part.BLOCK, START, 1, 5)
    assert _next(history, START + HOUR) == USUAL.places(2, Level.BEGINNER, 7)


def test_a_day_later_the_test_comes_first_and_not_a_minute_before() -> None:
    history = _past(Part.BLOCK, START, 1, 5)
    early = _next(history, START + DAY - timedelta(minutes=1))
    assert {place.part for place in early} == {Part.BLOCK}
    assert _next(history, START + DAY) == USUAL.test_places(Part.TEST)


def test_practice_puts_the_test_off() -> None:
    history = _past(Part.BLOCK, START, 1, 5) + _past(Part.BLOCK, START + DAY - HOUR, 2, 1)
    due = next_test(history, USUAL)
    assert due is not None
    assert due.at == START + 2 * DAY - HOUR


def test_pours_with_help_alone_are_followed_by_no_test() -> None:
    served = [PastPour(Mode.ASSIST, Part.ASSIST, 0, 1, START)]
    assert next_test(served, USUAL) is None


def test_a_pour_with_help_puts_the_test_off_too() -> None:
    served = PastPour(Mode.ASSIST, Part.ASSIST, 0, 1, START + DAY)
    due = next_test([*_past(Part.BLOCK, START, 1, 5), served], USUAL)
    assert due is not None
    assert due.at == START + 2 * DAY


def test_a_test_broken_off_goes_on() -> None:
    history = _past(Part.BLOCK, START, 1, 5) + _past(Part.TEST, START + DAY, pours=3)
    assert _next(history, START + DAY) == USUAL.test_places(Part.TEST)[3:]


def test_the_week_and_the_transfer_test_follow() -> None:
    history = _past(Part.BLOCK, START, 1, 5) + _past(Part.TEST, START + DAY, pours=4)
    week = next_test(history, USUAL)
    assert week is not None
    assert (week.part, week.at) == (Part.WEEK_TEST, START + 8 * DAY)
    assert {place.part for place in _next(history, START + 7 * DAY)} == {Part.BLOCK}
    history += _past(Part.WEEK_TEST, START + 8 * DAY, pours=4)
    transfer = next_test(history, USUAL)
    assert transfer is not None
    assert (transfer.part, transfer.at) == (Part.TRANSFER_TEST, START + 8 * DAY)
    history += _past(Part.TRANSFER_TEST, START + 8 * DAY, pours=4)
    assert next_test(history, USUAL) is None


def test_a_test_made_too_early_does_not_count_as_one() -> None:
    history = _past(Part.BLOCK, START, 1, 5) + _past(Part.TEST, START + HOUR, pours=4)
    due = next_test(history, USUAL)
    assert due is not None
    assert (due.part, due.made) == (Part.TEST, 0)


def test_without_practice_or_without_tests_none_is_due() -> None:
    assert next_test(_past(Part.BASELINE, START), USUAL) is None
    assert next_test(_past(Part.BLOCK, START, 1, 5), NONE) is None
