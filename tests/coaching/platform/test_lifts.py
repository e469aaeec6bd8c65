"""What was taken away was the brewer, unless it is poured on."""

from dataclasses import replace

import pytest

from pourcoach.coaching.platform.lifts import Lifts, StandingLift, is_bare
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.pour import Pour

# Written out: what is imported would hold whatever it is.
AFTER_S, POURED_ON_G = 2.0, 5.0

SINCE_S, WATER_G = 60.0, 40.0
LATER = Pour(SINCE_S + AFTER_S + 0.1, WATER_G, SINCE_S + 6.0, WATER_G + POURED_ON_G + 0.1)


@pytest.fixture
def lifts() -> Lifts:
    lifts = Lifts()
    lifts.feed(SINCE_S - 1.0, (), WATER_G, 0.0)
    event = PlatformEvent(EventKind.LIFTED, SINCE_S, None, -300.0)
    lifts.feed(SINCE_S + 1.0, (event,), WATER_G, 0.0)
    assert lifts.lift is not None
    return lifts


def test_water_poured_on_shows_that_the_brewer_stands_there_still(lifts: Lifts) -> None:
    lifts.poured_on([LATER], 999.0)
    assert lifts.lift is None


def test_of_a_pour_that_runs_what_has_come_counts(lifts: Lifts) -> None:
    running = replace(LATER, end_s=None, end_g=None)
    lifts.poured_on([running], WATER_G + POURED_ON_G - 0.1)
    assert lifts.lift is not None
    lifts.poured_on([running], WATER_G + POURED_ON_G + 0.1)
    assert lifts.lift is None


@pytest.mark.parametrize(
    "pours",
    [
        [],
        [replace(LATER, start_s=SINCE_S + AFTER_S - 0.1)],
        [replace(LATER, end_g=WATER_G + POURED_ON_G - 0.1)],
        [LATER, replace(LATER, end_g=WATER_G)],
    ],
    ids=["none", "drips", "too little", "not the newest"],
)
def test_other_water_shows_nothing(lifts: Lifts, pours: list[Pour]) -> None:
    lifts.poured_on(pours, 999.0)
    assert lifts.lift is not None


def test_without_a_lift_there_is_nothing_to_dismiss() -> None:
    lifts = Lifts()
    lifts.poured_on([LATER], 999.0)
    assert lifts.lift is None


def test_what_was_dismissed_does_not_come_back_with_the_same_events(lifts: Lifts) -> None:
    lifts.dismiss()
    event = PlatformEvent(EventKind.LIFTED, SINCE_S, None, -300.0)
    lifts.feed(SINCE_S + 2.0, (event,), WATER_G, 0.0)
    assert lifts.lift is None


@pytest.mark.parametrize(("stands_g", "bare"), [(8.0, True), (10.0, False)])
def test_a_platform_near_its_own_zero_is_bare(stands_g: float, bare: bool) -> None:
    """3 g, and a fiftieth of the 300 g that were taken away."""
    lift = StandingLift(SINCE_S, 300.0, WATER_G)
    moves = [PlatformEvent(EventKind.LIFTED, SINCE_S, None, -300.0)]
    assert is_bare(lift, moves, stands_g + 300.0, WATER_G) is bare


def test_a_platform_that_was_poured_on_is_not_bare() -> None:
    """Though what was poured makes up by now for what was taken away beyond the scale's zero."""
    lift = StandingLift(SINCE_S, 300.0, WATER_G)
    moves = [PlatformEvent(EventKind.LIFTED, SINCE_S, None, -300.0)]
    assert is_bare(lift, moves, 300.0, WATER_G + 4.0)
    assert not is_bare(lift, moves, 300.0, WATER_G + 6.0)


@pytest.mark.parametrize(
    ("began_s", "stands"), [(None, True), (SINCE_S - 0.1, True), (SINCE_S + 0.1, False)]
)
def test_who_pours_the_last_water_has_not_taken_the_brewer_away(
    lifts: Lifts, began_s: float | None, stands: bool
) -> None:
    lifts.reached(began_s)
    assert (lifts.lift is not None) is stands


def test_the_water_before_a_lift_is_known_that_is_reported_five_seconds_late() -> None:
    lifts = Lifts()
    for number in range(600):
        t_s = number / 10.0
        lifts.feed(t_s, (), t_s, 0.0)
    event = PlatformEvent(EventKind.LIFTED, 55.5, None, -300.0)
    lifts.feed(60.0, (event,), 60.0, 0.0)
    assert lifts.lift is not None
    assert lifts.lift.water_g == pytest.approx(55.5, abs=0.15)
