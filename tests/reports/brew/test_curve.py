"""The curve of a brew, for screen, page and table alike."""

import pytest

from pourcoach.domain.pour import Ending, Phase
from pourcoach.reports.brew.curve import MOST_POINTS, BrewCurve, CurvePoint, CurveTaker, brew_curve
from tests.reports.made_brew import PLAN, START_S, last_frame

BREW_S = 187.0
POINTS = [
    CurvePoint(START_S + tick / 10, 1.02 * PLAN.target_g(tick / 10), 5.0) for tick in range(1870)
]
LIFT = CurvePoint(START_S + BREW_S + 0.1, -350.0, 0.0)
LIFTED = last_frame(ending=Ending.LIFTED)


def test_the_lift_at_the_end_is_no_part_of_it() -> None:
    points = brew_curve(LIFTED, [*POINTS, LIFT]).points
    assert points[0] == CurvePoint(0.0, 0.0, 5.0)
    assert points[-1].t_s < BREW_S
    assert points[-1].mass_g > 300.0


def test_times_count_from_the_first_water_and_nothing_before_it_counts() -> None:
    before = CurvePoint(START_S - 1.0, 0.0, 0.0)
    points = brew_curve(LIFTED, [before, *POINTS]).points
    assert points[10].t_s == (START_S + 1.0) - START_S
    assert len(points) == len(POINTS)


def test_a_brew_that_never_began_has_none() -> None:
    assert brew_curve(last_frame(()), POINTS) == brew_curve(None, POINTS) == BrewCurve()


def test_a_moment_is_found_and_off_target_is_above_it() -> None:
    curve = brew_curve(LIFTED, POINTS)
    point = curve.at(35.05)
    assert point is not None
    assert point.t_s == pytest.approx(35.0)
    assert curve.at(BREW_S + 1.0) is None
    brew_s, off_g = curve.off_target(PLAN)[300]
    assert (brew_s, off_g) == (pytest.approx(30.0), pytest.approx(0.02 * 40.0))


def test_only_the_brew_is_taken_and_not_more_than_is_drawn() -> None:
    taker = CurveTaker()
    frame = last_frame()
    for phase in (Phase.READY, Phase.DONE):
        taker.take(frame._replace(pour=frame.pour._replace(phase=phase)))
    assert taker.points == []
    pouring = frame._replace(pour=frame.pour._replace(phase=Phase.POURING))
    for tick in range(2 * MOST_POINTS):
        taker.take(pouring._replace(t_s=tick / 100))
    assert len(taker.points) <= MOST_POINTS
    assert all(
        later.t_s - earlier.t_s > 0.09
        for earlier, later in zip(taker.points, taker.points[1:], strict=False)
    )


def test_a_thinned_curve_keeps_its_first_point_and_every_so_many() -> None:
    curve = BrewCurve(tuple(CurvePoint(tick / 8, 0.0, 0.0) for tick in range(17)))
    assert [point.t_s for point in curve.thinned(0.5)] == [0.0, 0.5, 1.0, 1.5, 2.0]
    assert curve.thinned(0.3) == curve.points[::3]
    assert BrewCurve().thinned(0.5) == ()
