"""A silence in which the first water came is noted, though no brew ran before it."""

import pytest

from pourcoach.coaching.flags.platform import with_first_gap
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Pour, StagePour

LIMITS = FlagLimits()
OUTAGE = PlatformEvent(EventKind.OUTAGE, 4.2, 19.6)
BLOOM = StagePour("bloom", (Pour(8.3, 0.0, 15.5, 40.0),), 0)


def test_a_silence_in_which_the_first_water_came_is_noted() -> None:
    (gap,) = with_first_gap([], (OUTAGE,), BLOOM, LIMITS)
    assert (gap.kind, gap.start_s, gap.end_s, gap.stage) == (FlagKind.GAP, 4.2, 19.6, "bloom")
    assert gap.evidence["lasted_s"] == pytest.approx(15.4)


def test_one_that_was_noted_is_not_noted_again() -> None:
    noted = Flag(FlagKind.GAP, 4.2, 19.6, "bloom", 0.99, {"lasted_s": 15.4})
    assert with_first_gap([noted], (OUTAGE,), BLOOM, LIMITS) == [noted]


@pytest.mark.parametrize(
    "event",
    [
        PlatformEvent(EventKind.OUTAGE, 1.0, 8.0),
        PlatformEvent(EventKind.OUTAGE, 30.0, 35.0),
        PlatformEvent(EventKind.OUTAGE, 7.9, 8.8),
        PlatformEvent(EventKind.KNOCK, 4.2, 19.6),
    ],
    ids=["before", "after", "short", "knock"],
)
def test_no_other_is(event: PlatformEvent) -> None:
    assert with_first_gap([], (event,), BLOOM, LIMITS) == []
