"""The slope against worked examples and against scipy."""

import random
from itertools import combinations

import pytest
from scipy import stats

from pourcoach.statistics.kendall import mann_kendall, s_at_least
from pourcoach.statistics.theil_sen import theil_sen

SEN_X, SEN_Y = (1, 2, 3, 4, 10, 12, 18), (9, 15, 19, 20, 45, 55, 78)
BY_HAND = (12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7)


def test_the_example_of_sen() -> None:
    """Sen 1968: slope 4; its 93 % interval is 26/7 to 35/8. As in scipy's own tests."""
    trend = theil_sen(SEN_X, SEN_Y, 0.93)
    assert trend is not None
    assert trend.slope == 4.0
    assert (trend.slope_low, trend.slope_high) == pytest.approx((26 / 7, 35 / 8))


def test_the_mann_kendall_example_worked_by_hand() -> None:
    """A course handout (College of the Holy Cross, "Mann-Kendall by hand"): S = 72 - 18 with one
    tie, Z = 2.9058, one-sided p = 0.0018; variance and Sen's slope worked out from its data."""
    found = mann_kendall(BY_HAND)
    assert found.s == 54
    assert found.variance == pytest.approx(332.667, abs=0.001)
    assert found.z == pytest.approx(2.9058, abs=0.0001)
    assert found.p_value / 2 == pytest.approx(0.0018, abs=0.00005)
    trend = theil_sen(range(len(BY_HAND)), BY_HAND)
    assert trend is not None
    assert trend.slope == pytest.approx(0.56667, abs=0.00001)
    assert (trend.slope_low, trend.slope_high) == pytest.approx((0.3250, 0.8667), abs=0.0001)
    assert trend.is_seen


@pytest.mark.parametrize("seed", range(20))
def test_p_is_that_of_kendalls_tau(seed: int) -> None:
    """scipy's exact p of tau against time is the same test."""
    chance = random.Random(seed)
    figures = [chance.gauss(0.1 * place, 1.0) for place in range(chance.randint(4, 25))]
    known = stats.kendalltau(range(len(figures)), figures, method="exact").pvalue
    assert mann_kendall(figures).p_value == pytest.approx(known, rel=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_slope_and_interval_are_near_scipys(seed: int) -> None:
    """scipy takes the normal distribution for the interval: a step of slopes apart at most."""
    chance = random.Random(seed)
    times = sorted(chance.uniform(0, 40) for _ in range(30))
    figures = [chance.gauss(0.1 * time, 1.0) for time in times]
    trend, known = theil_sen(times, figures), stats.theilslopes(figures, times, 0.95)
    assert trend is not None
    assert trend.slope == pytest.approx(known.slope, rel=1e-12)
    width = known.high_slope - known.low_slope
    assert trend.slope_low == pytest.approx(known.low_slope, abs=0.03 * width)
    assert trend.slope_high == pytest.approx(known.high_slope, abs=0.03 * width)


@pytest.mark.parametrize("count", range(5, 31))
def test_the_interval_holds_the_truth_as_often_as_it_says(count: int) -> None:
    """How many slopes lie outside it says how often it misses, by the exact distribution of S."""
    trend = theil_sen(range(count), [1e-6 * 2.0**place for place in range(count)])
    assert trend is not None
    slopes = sorted(
        (later[1] - earlier[1]) / (later[0] - earlier[0])
        for earlier, later in combinations(
            [(place, 1e-6 * 2.0**place) for place in range(count)], 2
        )
    )
    outside = slopes.index(trend.slope_low)
    assert slopes[::-1].index(trend.slope_high) == outside
    assert 1.0 - 2.0 * s_at_least(len(slopes) - 2 * outside, count) >= 0.95


def test_a_wild_figure_moves_nothing_and_too_few_say_nothing() -> None:
    trend = theil_sen(range(9), [0, 1, 2, 3, 1000, 5, 6, 7, 8])
    assert trend is not None
    assert trend.slope == 1.0
    assert trend.at(4) == pytest.approx(4.0)
    assert theil_sen(range(4), range(4)) is None
    assert theil_sen([1] * 6, range(6)) is None


@pytest.mark.parametrize("seed", range(10))
def test_p_with_equal_times_and_figures_is_that_of_kendalls_tau(seed: int) -> None:
    """scipy's asymptotic p, but for the correction for continuity."""
    chance = random.Random(seed)
    times = [chance.randint(0, 6) for _ in range(20)]
    figures = [time + chance.randint(-4, 4) for time in times]
    found = mann_kendall(figures, times)
    bare = 2 * stats.norm.sf(abs(found.s) / found.variance**0.5)
    known = stats.kendalltau(times, figures, method="asymptotic").pvalue
    assert bare == pytest.approx(known, rel=1e-9)


def test_a_trend_in_steps_is_seen() -> None:
    """Many pairs of equal figures have a slope of 0, which is no reason to see no trend."""
    trend = theil_sen(range(9), [1, 1, 1, 2, 2, 2, 3, 3, 3])
    assert trend is not None
    assert trend.slope_low == 0.0
    assert trend.is_seen


def test_equal_figures_are_no_trend() -> None:
    trend = theil_sen(range(8), [2.0] * 8)
    assert trend is not None
    assert not trend.is_seen
    assert mann_kendall([2.0] * 8).p_value == 1.0
