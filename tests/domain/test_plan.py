"""A plan's target curve."""

from itertools import pairwise

import pytest

from pourcoach.domain.plan import Plan, Stage

PLAN = Plan(
    10.0,
    17.0,
    170.0,
    18.0,
    62.0,
    (Stage("bloom", 0.0, 30.0, 5.0), Stage("pour", 18.0, 170.0, 10.0)),
)


def test_the_target_is_straight_between_its_corners() -> None:
    corners = PLAN.corners(62.0)
    assert corners == [(0.0, 0.0), (6.0, 30.0), (18.0, 30.0), (32.0, 170.0), (62.0, 170.0)]
    for (t_s, mass_g), (end_s, end_g) in pairwise(corners):
        assert PLAN.target_g((t_s + end_s) / 2) == pytest.approx((mass_g + end_g) / 2)


def test_a_target_that_is_cut_ends_on_its_slope() -> None:
    assert PLAN.corners(25.0)[-2:] == [(18.0, 30.0), (25.0, 100.0)]
