"""Where a student stands in a drill's schedule, from the pours made so far."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pourcoach.practice.assignment import Mode
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import Part, Place, Schedule

DAY = timedelta(hours=24)
"""What is kept of a practice shows after a night, not at its end (Salmoni, Schmidt and Walter 1984;
common practice in the field)."""
WEEK = timedelta(days=7)
_TESTS = (Part.TEST, Part.WEEK_TEST, Part.TRANSFER_TEST)


@dataclass(frozen=True, slots=True)
class PastPour:
    """One pour of a drill that was made to its end."""

    mode: Mode
    part: Part
    block: int
    pour: int
    at: datetime
    """With its offset."""


@dataclass(frozen=True, slots=True)
class DueTest:
    """The next test."""

    part: Part
    at: datetime
    """When it may be made, at the earliest."""
    made: int
    """How many of its pours there are already."""


def last_practice(history: Sequence[PastPour]) -> datetime | None:
    """When the newest pour was made that anything could be learnt from; None where none was."""
    return max((past.at for past in history if not past.part.is_test), default=None)


def next_test(history: Sequence[PastPour], schedule: Schedule) -> DueTest | None:
    """The test that comes next; None where none will, before any block and after the last.

    Practice of any kind, with help too, puts the test off: 24 h must lie between.
    """
    practised = last_practice([past for past in history if past.part is not Part.BASELINE])
    in_blocks = any(past.part is Part.BLOCK for past in history)
    if not schedule.tests or not in_blocks or practised is None:
        return None
    due = practised + DAY
    for part in _TESTS:
        made = [past.at for past in history if past.part is part and past.at >= due]
        if len(made) < schedule.test_pours:
            return DueTest(part, due, len(made))
        # A transfer test may follow the week's at once: there is nothing to be forgotten.
        due = max(made) + (WEEK if part is Part.TEST else timedelta())
    return None


def next_places(
    history: Sequence[PastPour], now: datetime, schedule: Schedule, level: Level, seed: int
) -> tuple[Place, ...]:
    """The pours of this sitting: a test that is due, else what is left of the block, with the
    baseline before the first one."""
    test = next_test(history, schedule)
    if test is not None and test.at <= now:
        return schedule.test_places(test.part)[test.made :]
    made = {(past.block, past.pour) for past in history if past.part is Part.BLOCK}
    block = max((block for block, _ in made), default=1)
    places = _left(schedule.places(block, level, seed), made)
    if not places:
        places = schedule.places(block + 1, level, seed)
    begun = any(past.part in (Part.BASELINE, Part.BLOCK) for past in history)
    return places if begun else schedule.test_places(Part.BASELINE) + places


def _left(places: tuple[Place, ...], made: set[tuple[int, int]]) -> tuple[Place, ...]:
    return tuple(place for place in places if (place.block, place.pour) not in made)
