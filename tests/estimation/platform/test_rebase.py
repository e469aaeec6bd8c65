"""Jumps that stay, knocks that pass, and water taken for touches."""

import pytest

from pourcoach.domain.estimate import Disturbance
from pourcoach.estimation.platform.rebase import JumpWatch

NOISE_VAR = 0.002


def test_a_level_that_stays_is_told_once():
    watch = JumpWatch()
    jumps = [watch.see(0.1 * i, 180.0, 0.0, 0.0, NOISE_VAR) for i in range(8)]
    assert jumps == [0.0] * 7 + [pytest.approx(180.0)]
    assert watch.disturbance(0.8) is Disturbance.PLACED


def test_a_knock_passes():
    watch = JumpWatch()
    assert watch.see(0.1, 25.0, 0.0, 0.0, NOISE_VAR) == 0.0
    assert watch.disturbance(0.2) is Disturbance.KNOCK
    assert watch.see(0.2, 0.0, 0.0, 1.0, NOISE_VAR) == 0.0
    assert watch.disturbance(1.0) is None


def test_a_straight_rise_within_waters_reach_is_water_after_all():
    watch = JumpWatch()
    watch.see(0.0, 0.0, 0.0, 1.0, NOISE_VAR)
    water = None
    for i in range(1, 8):
        assert watch.see(0.1 * i, 0.5 * i + 0.5, 0.0, 0.0, NOISE_VAR) == 0.0
        water = water or watch.water(NOISE_VAR)
    assert water is not None
    assert water.flow_gps == pytest.approx(5.0)
    assert water.level_g == pytest.approx(water.readings[-1][1])


@pytest.mark.parametrize("period_s", [0.2, 0.125, 0.1004, 0.05])
def test_water_taken_for_touches_is_known_again_at_any_rate(period_s):
    watch = JumpWatch()
    watch.see(0.0, 0.0, 0.0, 1.0, NOISE_VAR)
    water = None
    for i in range(1, 11):
        watch.see(period_s * i, 8.0 * period_s * i, 0.0, 0.0, NOISE_VAR)
        water = water or watch.water(NOISE_VAR)
    assert water is not None
    assert water.flow_gps == pytest.approx(8.0)


def test_a_fast_rise_is_not():
    watch = JumpWatch()
    watch.see(0.0, 0.0, 0.0, 1.0, NOISE_VAR)
    for i in range(1, 8):
        watch.see(0.1 * i, 3.0 * i, 0.0, 0.0, NOISE_VAR)
        assert watch.water(NOISE_VAR) is None
