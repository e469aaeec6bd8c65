"""A lean that comes and goes within a pour cannot be parted from water, and the figure says so."""

from dataclasses import replace

import numpy as np
import pytest

from pourcoach.domain.pour import Unjudged
from pourcoach.estimation.noise.scale_noise import ScaleNoise
from pourcoach.estimation.pours.evenness import evenness
from pourcoach.estimation.pours.pour_readings import PourReadings

LASTS_S, FLOW_GPS = 20.0, 4.0


def wandering(cv, swing_hz, seed=0):
    """A pour of this evenness at 20 Hz."""
    rng = np.random.default_rng(seed)
    times = np.arange(0.0, LASTS_S, 0.05)
    omega = 2.0 * np.pi * swing_hz
    swing = np.sqrt(2.0) * cv * np.sin(omega * times + rng.uniform(0.0, 6.0)) / omega
    grams = FLOW_GPS * (times + swing) + 0.03 * rng.standard_normal(len(times))
    return PourReadings(times.tolist(), grams.tolist(), ScaleNoise(0.03**2))


def leaned_on(readings, at_s, lasts_s, size_g):
    """The same under a hand that comes, stays for a fifth of the time, and goes."""
    times = np.array(readings.times_s)
    ends = at_s + lasts_s * np.array([0.0, 0.4, 0.6, 1.0])
    share = np.interp(times, ends, [0.0, 1.0, 1.0, 0.0])
    leaned = size_g * share * share * (3.0 - 2.0 * share)
    return replace(readings, grams=(np.array(readings.grams) + leaned).tolist())


@pytest.mark.parametrize("size_g", [-7.0, 7.0, 9.0])
@pytest.mark.parametrize("at_s", [4.0, 9.0])
def test_a_lean_is_no_unevenness_of_the_hand(size_g, at_s):
    for seed in range(3):
        readings = leaned_on(wandering(0.05, 0.5, seed), at_s, 6.0, size_g)
        even = evenness(readings, 0.0, LASTS_S)
        if even.flow_cv is None:
            assert even.why is Unjudged.HIDDEN
        else:
            assert abs(even.flow_cv - 0.05) < 2.0 * even.error


@pytest.mark.parametrize("size_g", [-5.0, -3.0, 3.0, 5.0])
def test_what_may_be_a_hand_or_seldom_a_small_lean_is_judged_and_doubted(size_g):
    for seed in range(3):
        readings = wandering(0.05, 0.5, seed)
        sure = evenness(readings, 0.0, LASTS_S)
        even = evenness(leaned_on(readings, 9.0, 6.0, size_g), 0.0, LASTS_S)
        assert even.flow_cv > 2.0 * sure.flow_cv
        assert 3.0 * sure.error < even.error < 0.5 * (even.flow_cv - 0.05)


@pytest.mark.parametrize("swing_hz", [0.15, 0.3, 0.8])
def test_a_hand_that_wanders_throughout_is_judged(swing_hz):
    for seed in range(3):
        even = evenness(wandering(0.25, swing_hz, seed), 0.0, LASTS_S)
        assert even.error < 0.03
        assert even.flow_cv == pytest.approx(0.25, abs=0.05)


def test_a_surge_that_is_not_taken_back_is_judged():
    """Water that ran faster for three seconds is there afterwards."""
    readings = wandering(0.05, 0.5)
    times = np.array(readings.times_s)
    more = 0.7 * FLOW_GPS * np.clip(times - 8.0, 0.0, 3.0)
    surging = replace(readings, grams=(np.array(readings.grams) + more).tolist())
    even = evenness(surging, 0.0, LASTS_S)
    assert even.flow_cv > 0.2
    assert even.error < 0.03


def doubted(readings, least=0.04):
    even = evenness(readings, 0.0, LASTS_S)
    return even.flow_cv is None or even.error > least


def any_hand(seed, cv):
    """A pour of many waves."""
    rng = np.random.default_rng(seed)
    times = np.arange(0.0, LASTS_S, 0.05)
    flow = sum(
        np.sin(2.0 * np.pi * (hz * times + rng.uniform())) for hz in rng.uniform(0.1, 0.9, 4)
    )
    flow = 1.0 + cv * (flow - flow.mean()) / flow.std()
    grams = FLOW_GPS * 0.05 * np.cumsum(flow) + 0.03 * rng.standard_normal(len(times))
    return PourReadings(times.tolist(), grams.tolist(), ScaleNoise(0.03**2))


def test_most_leans_are_doubted_and_few_hands():
    """Under hands that are themselves no more even than usual."""
    assert sum(doubted(any_hand(seed, 0.25)) for seed in range(24)) <= 1
    for size_g, least, count in ((5.0, 0.04, 18), (2.5, 0.02, 13)):
        leaned = [leaned_on(any_hand(seed, 0.11), 7.0, 6.0, size_g) for seed in range(24)]
        assert sum(doubted(one, least) for one in leaned) >= count
