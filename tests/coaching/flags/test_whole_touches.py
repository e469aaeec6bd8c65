"""A disturbance is as long as the touch in it turned out to be, live and in hindsight."""

import pytest

from pourcoach.coaching.flags.platform import with_whole_touches
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import EventKind, PlatformEvent

NOTICED = Flag(FlagKind.DISTURBED, 64.5, 64.8, "pour 1", 0.95, {"lasted_s": 0.3, "jump_g": 2.0})


def span(flag: Flag, *events: PlatformEvent) -> tuple[float, float, float]:
    (whole,) = with_whole_touches([flag], events)
    return whole.start_s, whole.end_s, round(whole.evidence["lasted_s"], 3)


def test_a_disturbance_that_was_noticed_late_begins_with_its_touch() -> None:
    knock = PlatformEvent(EventKind.KNOCK, 63.7, 64.35)
    assert span(NOTICED, knock) == (63.7, 64.8, 1.1)


def test_it_covers_each_touch_in_it() -> None:
    knock = PlatformEvent(EventKind.KNOCK, 64.4, 64.6)
    lean = PlatformEvent(EventKind.LEAN, 64.7, 66.0, -3.0)
    assert span(NOTICED, knock, lean) == (64.4, 66.0, 1.6)


def test_it_covers_the_water_that_came_unseen_under_the_touch() -> None:
    unseen = PlatformEvent(EventKind.UNSEEN_WATER, 63.5, 64.4, 1.1)
    assert span(NOTICED, unseen) == (63.5, 64.8, 1.3)


def test_it_does_not_cover_what_came_in_an_outage() -> None:
    unseen = PlatformEvent(EventKind.UNSEEN_WATER, 63.5, 64.4, 1.1)
    assert span(NOTICED, PlatformEvent(EventKind.OUTAGE, 63.5, 64.4), unseen) == (64.5, 64.8, 0.3)


@pytest.mark.parametrize(
    "event",
    [
        PlatformEvent(EventKind.KNOCK, 62.0, 62.9),
        PlatformEvent(EventKind.KNOCK, 64.9, 65.2),
        PlatformEvent(EventKind.SPIKE, 64.4, 64.4),
        PlatformEvent(EventKind.OUTAGE, 64.0, 66.0),
    ],
    ids=["before", "after", "spike", "outage"],
)
def test_what_is_no_touch_of_its_own_leaves_it_as_it_is(event: PlatformEvent) -> None:
    assert span(NOTICED, event) == (64.5, 64.8, 0.3)


def test_a_gap_is_no_touch() -> None:
    gap = Flag(FlagKind.GAP, 64.5, 66.0, "pour 1", 0.99, {"lasted_s": 1.5})
    assert span(gap, PlatformEvent(EventKind.KNOCK, 63.7, 64.6)) == (64.5, 66.0, 1.5)
